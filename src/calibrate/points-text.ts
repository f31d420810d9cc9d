import type { CalPoint } from './cal-point.ts';
import { pointColumns } from './points-csv.ts';

/** Returns points as the text of a points file, as `parsePointsCsv` reads it, with every value stated in its row. */
export function pointsText(points: readonly CalPoint[]): string {
  const rows = points.map(({ range, level, standard, code, uCode, n }) => {
    const ends = standard.kind === 'short' || standard.kind === 'open';
    const name = standard.kind === 'resistor' ? (standard.name ?? `${standard.ohm} ohm`) : standard.kind;
    const resistor = standard.kind === 'resistor' ? [standard.ohm, standard.uOhm, standard.uCommonRel] : ['', '', ''];
    const volt = standard.kind === 'volt' ? [standard.volt, standard.uVolt] : ['', ''];
    return [range, level, ends ? standard.kind : name, code, uCode, n, ...resistor, ...volt];
  });
  return `${[pointColumns as readonly unknown[], ...rows].map((row) => row.map(field).join(',')).join('\n')}\n`;
}

function field(value: unknown): string {
  const text = String(value);
  return /[",\r\n]/.test(text) ? `"${text.replaceAll('"', '""')}"` : text;
}
