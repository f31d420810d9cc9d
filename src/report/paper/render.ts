import { createElement } from 'react';
import { renderToStaticMarkup } from 'react-dom/server';
import type { ReportData } from '../report-data.ts';
import type { Letterhead } from './letterhead.ts';
import { Page } from './page.tsx';

/**
 * Returns a report as one HTML text that needs nothing else. React escapes every text from guide,
 * ticket, record and letterhead.
 */
export function reportHtml(data: ReportData, letterhead: Letterhead = {}): string {
  return `<!doctype html>\n${renderToStaticMarkup(createElement(Page, { data, letterhead }))}\n`;
}
