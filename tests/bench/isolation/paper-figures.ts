import type { Figure, Measured } from '../benchmark.ts';
import { inParts, wholeFrom } from './in-parts.ts';
import { type Share, shareOf } from './interval.ts';
import type { PaperResult, RowName } from './paper-rows.ts';

/** What is counted of a row, and what its interval must not reach beyond. */
export interface Counted {
  what: string;
  is(result: PaperResult): boolean;
  /** The upper end of the interval of `at most`, the lower one of `at least`; null: told, and held to nothing. */
  goal: { sense: 'at most' | 'at least'; share: number } | null;
}

/** Devices of a row: 2,000 are the whole of it, a thousand of the example guides and a thousand of made-up ones. */
const usualSize = 60;

/** Returns the devices of a row, in as many processes as there are processors. */
export async function resultsOf(row: RowName): Promise<PaperResult[]> {
  const size = wholeFrom('OHMWRIGHT_SPECIMENS', usualSize, 8);
  const seed = wholeFrom('OHMWRIGHT_SEED', 1, 1);
  const results = await inParts<PaperResult>('paper-child.ts', [row, String(size), String(seed)], size);
  if (results.length !== size) throw new Error(`${results.length} of ${size} devices were gone through`);
  if (results.some(({ checks }) => !(checks > 0))) throw new Error('a device was judged without a check');
  return results;
}

/** Returns the figures of rows: a table with the interval of each share, guide by guide, and the goals that the whole row is held to. */
export function measuredOf(
  all: readonly { row: string; results: readonly PaperResult[]; counted: readonly Counted[] }[],
): Measured {
  const figures: Figure[] = [];
  const lines: string[] = [];
  const work: Record<string, number> = {};
  const numbers: Record<string, number> = {};
  for (const { row, results, counted } of all) {
    for (const { what, is, goal } of counted) {
      const whole = shareOf(results.filter(is).length, results.length);
      lines.push(`  ${row}: ${what}: ${shown(whole)}`);
      for (const [guide, own] of byGuide(results))
        lines.push(`    ${guide.padEnd(16)} ${shown(shareOf(own.filter(is).length, own.length))}`);
      if (goal === null) continue;
      const isMost = goal.sense === 'at most';
      figures.push({
        what: `${row}: ${what}, ${isMost ? 'upper' : 'lower'} end`,
        value: isMost ? whole.high : whole.low,
        sense: goal.sense,
        target: goal.share,
      });
    }
    const kinds = new Map<string, number>();
    for (const { kind } of results) kinds.set(kind, (kinds.get(kind) ?? 0) + 1);
    lines.push(
      `  ${row}: ${[...kinds]
        .sort((a, b) => b[1] - a[1])
        .map(([kind, n]) => `${kind} ${n}`)
        .join(', ')}`,
    );
    const mean = (of: (one: PaperResult) => number): number =>
      results.reduce((sum, one) => sum + of(one), 0) / results.length;
    work[`${row} devices`] = results.length;
    work[`${row} checks done`] = results.reduce((sum, { checks }) => sum + checks, 0);
    numbers[`${row} checks`] = mean(({ checks }) => checks);
    numbers[`${row} attempts`] = mean(({ attempts }) => attempts);
    numbers[`${row} minutes`] = mean(({ minutes }) => minutes);
  }
  return { figures, work, numbers, lines };
}

/** Returns cases that a reader may want to look at, a few of them. */
export function casesOf(results: readonly PaperResult[], is: (one: PaperResult) => boolean, most = 8): string[] {
  return results
    .filter(is)
    .slice(0, most)
    .map(({ guide, what, kind, named, course }) => `    ${guide}, ${what}: ${kind} ${named} <- ${course}`);
}

function byGuide(results: readonly PaperResult[]): Map<string, PaperResult[]> {
  const found = new Map<string, PaperResult[]>();
  for (const one of results) {
    const name = one.guide.startsWith('made-') ? 'made up' : one.guide;
    found.set(name, [...(found.get(name) ?? []), one]);
  }
  return found;
}

function shown({ count, of, share, low, high }: Share): string {
  const percent = (p: number): string => `${(100 * p).toFixed(2)} %`;
  return `${String(count).padStart(5)} of ${String(of).padEnd(5)} ${percent(share).padStart(8)}  (${percent(low)} to ${percent(high)})`;
}
