import type { Diagram } from '../../picture/lay-out.ts';
import type { Photo } from '../../picture/photo.ts';
import { clockTime } from '../../view/text/clock-time.ts';
import type { ReportData } from '../report-data.ts';
import { ColleaguePart } from './colleague-part.tsx';
import { CustomerPart } from './customer-part.tsx';
import type { EvidencePhoto } from './evidence-photo.ts';
import { Fact } from './fact.tsx';
import type { Letterhead } from './letterhead.ts';
import { PhotosPart } from './photos-part.tsx';
import type { Reader } from './reader.ts';
import { style } from './style.ts';
import { SupplierPart } from './supplier-part.tsx';

/** What a page is made of. */
interface PageProps {
  data: ReportData;
  letterhead: Letterhead;
  diagram: Diagram | null;
  photos: readonly Photo[];
  taken: readonly EvidencePhoto[];
  readers: readonly Reader[];
}

/**
 * The whole page: no network, no scripts; first what a customer wants, then a supplier, then a
 * colleague.
 */
export function Page({ data, letterhead, diagram, photos, taken, readers }: PageProps) {
  const { device } = data;
  const { name, address, paper = 'A4', clock } = letterhead;
  const title = `${data.title} \u2013 ${data.job}`;
  return (
    <html lang="en">
      <head>
        <meta charSet="utf-8" />
        <meta name="viewport" content="width=device-width, initial-scale=1" />
        <title>{title}</title>
        {/* biome-ignore lint/security/noDangerouslySetInnerHtml: our own constant text; React would escape its quotes */}
        <style dangerouslySetInnerHTML={{ __html: `${style}@page { size: ${paper}; }\n` }} />
      </head>
      <body>
        <main>
          {(name !== undefined || address !== undefined) && (
            <address className="soft">
              {[name, ...(address?.split('\n') ?? [])].filter((one) => one !== undefined).join(', ')}
            </address>
          )}
          <h1>{data.title}</h1>
          <dl className="facts">
            <Fact name="Job" value={data.job} />
            <Fact name="Device" value={`${device.maker} ${device.name}, revision ${device.revision}`} />
            {device.serial !== undefined && <Fact name="Serial number" value={device.serial} />}
            {data.ticket !== null && <Fact name="Ticket" value={data.ticket} />}
            {data.customer.name !== undefined && <Fact name="Customer" value={data.customer.name} />}
            {data.customer.contact !== undefined && <Fact name="Contact" value={data.customer.contact} />}
            <Fact name="Opened" value={clockTime(data.openedAt, clock)} />
            <Fact name="Closed" value={data.closedAt === null ? 'still open' : clockTime(data.closedAt, clock)} />
            {data.technician !== null && <Fact name="Technician" value={data.technician} />}
          </dl>
          {readers.includes('customer') && <CustomerPart data={data} diagram={diagram} photos={photos} />}
          {readers.includes('supplier') && <SupplierPart data={data} isAlone={!readers.includes('colleague')} />}
          {readers.includes('colleague') && <ColleaguePart data={data} clock={clock} />}
          <PhotosPart photos={taken} />
        </main>
      </body>
    </html>
  );
}
