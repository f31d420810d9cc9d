import type { ReadResult } from '../../record/store/read-record.ts';
import { fitText } from '../../view/text/fit-text.ts';
import { reportData } from '../report-data.ts';
import { curvesOf } from './curves.ts';
import { bandLine, beliefLines, curveLine, pathLines, pressLine } from './text-pictures.ts';

/**
 * Returns the pictures of a report in text: the device's path, readings on their limits, presses
 * and traces.
 */
export function pictureLines(read: ReadResult): string[] {
  const data = reportData(read);
  if (data === null) return [];
  const lines: string[] = [];
  if (data.path.length > 0)
    lines.push('', 'From the key to the main board (# unit, | what joins two):', ...pathLines(data.path));
  const bands = data.checks.flatMap((check) => {
    const band = bandLine(check);
    return band === null ? [] : [`  ${fitText(check.id, 20)} ${band}`, `  ${' '.repeat(21)}${check.limitsText}`];
  });
  if (bands.length > 0) {
    const after = data.hasAfter ? ', O after the repair' : '';
    lines.push(
      '',
      `Readings on their limits (= allowed, o reading${after}, - its 95 % interval, > beyond the range):`,
      ...bands,
    );
  }
  if (data.beliefs.length > 0) {
    lines.push('', 'What was to be believed, entry by entry:', ...beliefLines(data.beliefs));
  }
  const presses = data.entries.flatMap((entry) => {
    const line = entry.kind === 'presses' ? pressLine(entry) : null;
    return line === null || entry.kind !== 'presses' ? [] : [`  ${fitText(entry.check, 20)} ${line}`];
  });
  if (presses.length > 0) lines.push('', 'Closed resistance of the presses, fuller where more:', ...presses);
  const curves = curvesOf(data.entries).flatMap((curve) => {
    const line = curveLine(curve);
    return line === null ? [] : [`  ${curve.label}`, `    ${line}`];
  });
  if (curves.length > 0) lines.push('', 'Captured traces, fuller where higher:', ...curves);
  return lines;
}
