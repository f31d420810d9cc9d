import { createElement } from 'react';
import { renderToStaticMarkup } from 'react-dom/server';
import type { Diagram } from '../../picture/lay-out.ts';
import type { Photo } from '../../picture/photo.ts';
import type { ReportData } from '../report-data.ts';
import type { EvidencePhoto } from './evidence-photo.ts';
import type { Letterhead } from './letterhead.ts';
import { Page } from './page.tsx';
import { allReaders, type Reader } from './reader.ts';

/** What a report is made of, beside its data. */
export interface Paper {
  letterhead?: Letterhead;
  /** Drawing of the device; null or absent: none. */
  diagram?: Diagram | null;
  /** Pictures of the guide, each within the page (a data URI). */
  photos?: readonly Photo[];
  /** Photos that were taken at checks. */
  taken?: readonly EvidencePhoto[];
  /** Whom it is for; absent: all three, one after another. */
  reader?: Reader | undefined;
}

/**
 * Returns a report as one HTML text that needs nothing else. React escapes every text from guide,
 * ticket, record and letterhead.
 */
export function reportHtml(
  data: ReportData,
  { letterhead = {}, diagram = null, photos = [], taken = [], reader }: Paper = {},
): string {
  const readers = reader === undefined ? allReaders : [reader];
  return `<!doctype html>\n${renderToStaticMarkup(createElement(Page, { data, letterhead, diagram, photos, taken, readers }))}\n`;
}
