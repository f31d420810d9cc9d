import { formatQuantity } from '../../measure/reading/format.ts';
import type { Limits } from '../../measure/types.ts';

/** What a dot plot shows: values (those apart as `x`), and limits as lines above and below them. */
export interface DotPlot {
  values: readonly number[];
  apart: readonly number[];
  /** Limits by name, as `old` and `new`; null is shown as none. */
  limits: readonly { name: string; limits: Limits | null }[];
  quantity: Limits['quantity'];
  /** Logarithmic axis: only where everything shown is above zero. */
  isLog: boolean;
  /** Columns of the axis. */
  width: number;
}

/** A column with more values than so many ends in a `+`. */
const mostStacked = 5;

/**
 * Returns a dot plot as lines of ASCII: stacked values over an axis, then one line for each pair of
 * limits. No values: no lines.
 */
export function dotPlot({ values, apart, limits, quantity, isLog, width }: DotPlot): string[] {
  const ends = limits.flatMap((each) => [each.limits?.min, each.limits?.max]).filter((end) => end !== undefined);
  const all = [...values, ...apart, ...ends];
  if (values.length + apart.length === 0) return [];
  const scale = isLog && all.every((value) => value > 0) ? Math.log : (value: number) => value;
  const unscale = scale === Math.log ? Math.exp : (value: number) => value;
  const low = Math.min(...all.map(scale));
  const span = Math.max(...all.map(scale)) - low || Math.abs(low) || 1;
  // a little room, so that what stands at an end is seen to end there
  const column = (value: number): number => Math.round(((scale(value) - low) / span) * (width - 5)) + 2;
  const at = (place: number): number => unscale(low + ((place - 2) / (width - 5)) * span);
  const axisEnds = [formatQuantity(at(0), quantity), formatQuantity(at(width - 1), quantity)];
  return [
    ...stacks(values.map(column), apart.map(column), width).map((line) => `     ${line}`),
    `     ${'-'.repeat(width)}`,
    `     ${axisEnds[0]}${axisEnds[1]!.padStart(Math.max(1, width - axisEnds[0]!.length))}`,
    ...limits.map((each) => limitsLine(each, column, width)),
  ].map((line) => line.trimEnd());
}

function stacks(columns: number[], apart: number[], width: number): string[] {
  const heights = new Array<number>(width).fill(0);
  for (const place of [...columns, ...apart]) heights[place]! += 1;
  const height = Math.min(mostStacked, Math.max(...heights));
  return Array.from({ length: height }, (_, row) => {
    const level = height - row;
    return heights
      .map((stacked, place) => {
        if (stacked < level) return ' ';
        if (stacked > mostStacked && level === mostStacked) return '+';
        return apart.includes(place) ? 'x' : 'o';
      })
      .join('');
  });
}

function limitsLine(
  { name, limits }: DotPlot['limits'][number],
  column: (value: number) => number,
  width: number,
): string {
  if (limits === null) return `${name.padEnd(5)}none`;
  const from = limits.min === undefined ? 0 : column(limits.min);
  const to = limits.max === undefined ? width - 1 : column(limits.max);
  const cells: string[] = Array.from({ length: width }, (_, place) => (place >= from && place <= to ? '=' : ' '));
  if (limits.min !== undefined) cells[from] = '[';
  if (limits.max !== undefined) cells[to] = ']';
  return `${name.padEnd(5)}${cells.join('')}`;
}
