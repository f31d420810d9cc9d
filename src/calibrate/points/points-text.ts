import type { CalPoint } from './cal-point.ts';
import { pointColumns } from './points-csv.ts';

/**
 * Returns points as the text of a points file, as `parsePointsCsv` reads it, with every value
 * stated in its row. `aside` (default none): points that take no part in a fit, kept as remarks.
 */
export function pointsText(points: readonly CalPoint[], aside: readonly CalPoint[] = []): string {
  const lines = [pointColumns.join(','), ...points.map(rowOf)];
  if (aside.length > 0)
    lines.push('# too few standards at these settings for a fit:', ...aside.map((point) => `# ${rowOf(point)}`));
  return `${lines.join('\n')}\n`;
}

function rowOf({ range, level, standard, code, uCode, n }: CalPoint): string {
  const name = standard.kind === 'resistor' ? (standard.name ?? `${standard.ohm} ohm`) : standard.kind;
  const resistor = standard.kind === 'resistor' ? [standard.ohm, standard.uOhm, standard.uCommonRel] : ['', '', ''];
  const volt = standard.kind === 'volt' ? [standard.volt, standard.uVolt] : ['', ''];
  return [range, level, name, code, uCode, n, ...resistor, ...volt].map(field).join(',');
}

function field(value: unknown): string {
  const text = String(value);
  return /[",\r\n]/.test(text) ? `"${text.replaceAll('"', '""')}"` : text;
}
