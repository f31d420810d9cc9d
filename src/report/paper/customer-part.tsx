import { DiagramPicture } from '../../picture/diagram-picture.tsx';
import type { Diagram } from '../../picture/lay-out.ts';
import { type Photo, photosOfFault } from '../../picture/photo.ts';
import { PhotoPicture } from '../../picture/photo-picture.tsx';
import { foundAt } from '../../view/words/conclusion.ts';
import { marks } from '../../view/words/mark.ts';
import { resultWords, unverified } from '../../view/words/result.ts';
import type { ReportData } from '../report-data.ts';
import { toneClass } from './outcome.tsx';

interface CustomerPartProps {
  data: ReportData;
  diagram: Diagram | null;
  photos: readonly Photo[];
}

/** What a customer wants: what was wrong, what was done, is it right now. */
export function CustomerPart({ data, diagram, photos }: CustomerPartProps) {
  const { state, short, verified, guide } = data;
  const faultAt = guide === null ? [] : foundAt(guide, state);
  const faulty = guide === null ? [] : photosOfFault(guide, photos, faultAt);
  const spoken = faultAt.length === 0 ? 'The device' : 'The device; the place of the fault is drawn bold and red';
  const { word, mark, tone } = verified.ok ? resultWords[state.result] : unverified;
  return (
    <section className="for-customer">
      <p className={`verdict ${toneClass(tone)}`}>
        <span aria-hidden="true">{marks[mark].unicode} </span>
        {word}
      </p>
      {!verified.ok && (
        <p className="warning">
          The record behind this page was changed or damaged, or does not bear out what it claims. Nothing on this page
          is to be relied on; what does not hold stands under &ldquo;How to check this record&rdquo;.
        </p>
      )}
      {state.opened?.emulated === true && (
        <p className="warning">The probe was an emulated one: this paper says nothing of a real device.</p>
      )}
      <div className="short">
        <Short title="What was wrong" lines={short.wrong} />
        <Short title="What was done" lines={short.done} />
        <Short title="Is it right now?" lines={short.now} />
        {short.cost.length > 0 && <Short title="What it costs" lines={short.cost} />}
      </div>
      {faulty.map((one) => (
        <figure key={one.photo.id} className="device">
          <PhotoPicture {...one} />
          <figcaption>{one.photo.shows}. The place of the fault is ringed.</figcaption>
        </figure>
      ))}
      {faulty.length === 0 && diagram !== null && (
        <figure className="device">
          <DiagramPicture diagram={diagram} pointed={{ tips: [], faultAt }} title={spoken} />
          <figcaption>
            {spoken}. Boxes are the parts of the device, rings the places where it was measured; drawn from the guide,
            not to scale.
          </figcaption>
        </figure>
      )}
      <p className="sign">Date and signature:</p>
    </section>
  );
}

function Short({ title, lines }: { title: string; lines: readonly string[] }) {
  return (
    <section>
      <h2>{title}</h2>
      {lines.map((line) => (
        <p key={line}>{line}</p>
      ))}
    </section>
  );
}
