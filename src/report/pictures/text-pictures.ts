import { bin, extent, max } from 'd3-array';
import { scaleLinear, scaleLog } from 'd3-scale';
import { formatQuantity } from '../../measure/reading/format.ts';
import type { Limits } from '../../measure/types.ts';
import type { EntryOf } from '../../record/entries/entries.ts';
import { percent } from '../../statistics/percent.ts';
import type { BeliefAfter } from '../../verify/conclusions/believed.ts';
import { marks } from '../../view/words/mark.ts';
import { partWords } from '../../view/words/part.ts';
import type { CheckLine, ReportedOutcome } from '../report-data.ts';
import type { Curve } from './curves.ts';
import type { PathPart } from './device-path.ts';
import { limitDomain } from './limit-domain.ts';

/** Columns of a picture in text: with a name before it, it fits 80. */
const columns = 44;
/** From nothing to full, in ASCII. */
const ramp = ' .:-=+*#';

/** Returns the way from the key to the main board, a line a part. */
export function pathLines(parts: readonly PathPart[]): string[] {
  return parts.map(({ name, kind, state, p }) => {
    const { word, mark } = partWords[state];
    const chance = p === null ? '' : ` (${percent(p)})`;
    return `  ${kind === 'unit' ? '#' : '|'} ${`${marks[mark].ascii} ${word}`.padEnd(14)}${chance.padEnd(9)} ${name}`;
  });
}

/**
 * Returns a check's readings on the band of its limits, as one line: `=` what the limits allow, `-`
 * the 95 % interval, `o` before and `O` after the repair, `>` and `<` beyond the range. Null for a
 * check without readings or limits.
 */
export function bandLine(check: CheckLine): string | null {
  const { limits, before, after } = check;
  const seen = [before, after].filter((one): one is ReportedOutcome => one?.shown != null);
  if (limits === null || seen.length === 0) return null;
  const cells: string[] = Array.from({ length: columns }, () => ' ');
  const at = columnOf(limits, seen);
  const low = limits.min === undefined ? 0 : at(limits.min);
  const high = limits.max === undefined ? columns - 1 : at(limits.max);
  cells.fill('=', low, high + 1);
  for (const one of seen) {
    const { value, expanded, state } = one.shown!;
    const sign = one === after ? 'O' : 'o';
    if (state === 'above-range') cells[columns - 1] = '>';
    else if (state === 'below-range') cells[0] = '<';
    else if (state === 'in-range') {
      cells.fill('-', at(value - expanded), at(value + expanded) + 1);
      cells[at(value)] = sign;
    }
  }
  return `[${cells.join('')}]`;
}

function columnOf(limits: Limits, seen: readonly ReportedOutcome[]): (value: number) => number {
  const { low, high, least } = limitDomain(limits, seen);
  const scale =
    limits.quantity === 'resistance'
      ? scaleLog([low, high], [2, columns - 3])
      : scaleLinear([low, high], [2, columns - 3]);
  return (value) => Math.round(Math.max(0, Math.min(columns - 1, scale(Math.max(least, value)))));
}

/**
 * Returns how often a key closed at which resistance, as one line of marks from light to full; null
 * when it never closed.
 */
export function pressLine({ presses }: EntryOf<'presses'>): string | null {
  const closed = presses.flatMap(({ reading }) => (reading?.state === 'in-range' ? [reading.value] : []));
  const [low, high] = extent(closed);
  if (low === undefined || high === undefined) return null;
  const bins = bin()
    .domain([low, high === low ? low * 1.001 + 1e-6 : high])
    .thresholds(20)(closed);
  const most = max(bins, (one) => one.length) ?? 1;
  const marks = bins.map((one) => rampAt(one.length / most)).join('');
  return `${formatQuantity(low, 'resistance')} [${marks}] ${formatQuantity(high, 'resistance')}`;
}

/**
 * Returns a captured trace as one line of marks, low to high; null when there is nothing to draw.
 */
export function curveLine({ values, quantity }: Curve): string | null {
  const finite = values.filter(Number.isFinite);
  const [low, high] = extent(finite);
  if (low === undefined || high === undefined || finite.length < 2) return null;
  const step = Math.max(1, finite.length / columns);
  const picked = Array.from({ length: Math.min(columns, finite.length) }, (_, i) => finite[Math.floor(i * step)]!);
  const marks = picked.map((value) => rampAt(high === low ? 0.5 : (value - low) / (high - low))).join('');
  return `${formatQuantity(low, quantity)} [${marks}] ${formatQuantity(high, quantity)}`;
}

function rampAt(share: number): string {
  return ramp[Math.round(Math.max(0, Math.min(1, share)) * (ramp.length - 1))]!;
}

const beliefBar = 24;
const namedDecisions = 3;

/**
 * Returns the likeliest decisions after each attempt, a bar a line: it grows as the belief gathers.
 */
export function beliefLines(beliefs: readonly BeliefAfter[]): string[] {
  return beliefs.flatMap(({ n, entry, belief }) => [
    `  entry ${n}, ${'check' in entry ? entry.check : entry.kind}`,
    ...belief.decisions.slice(0, namedDecisions).map(({ name, p }) => {
      const bar = '#'.repeat(Math.round(p * beliefBar)).padEnd(beliefBar, '.');
      return `    ${bar} ${percent(p).padStart(6)} ${name}`;
    }),
  ]);
}
