import { createElement } from 'react';
import { renderToStaticMarkup } from 'react-dom/server';
import type { ReportData } from '../report-data.ts';
import { Page } from './page.tsx';

/**
 * Returns a report as one HTML text that needs nothing else. React escapes every text from guide,
 * ticket and record.
 */
export function reportHtml(data: ReportData): string {
  return `<!doctype html>\n${renderToStaticMarkup(createElement(Page, { data }))}\n`;
}
