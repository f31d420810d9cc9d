import { type Measured, quantile } from '../benchmark.ts';
import { inParts, wholeFrom } from './in-parts.ts';

export const name = 'least-minutes';
export const claim =
  'expected minutes of the choice of the next check on small random guides against the least of any policy, by exact dynamic programming';

/** Guides; `OHMWRIGHT_GUIDES=700` is the whole of it. */
const usualGuides = 100;

interface Row {
  number: number;
  /** Least expected minutes of any policy, those of the policy as it is, and its expected checks. */
  least: number;
  minutes: number;
  steps: number;
}

/** Returns how many times the least minutes the policy takes, over all guides and at worst. */
export async function measure(): Promise<Measured> {
  const size = wholeFrom('OHMWRIGHT_GUIDES', usualGuides, 2);
  const seed = wholeFrom('OHMWRIGHT_SEED', 1, 1);
  const rows = await inParts<Row>('least-minutes-child.ts', [String(size), String(seed)], size);
  if (rows.length !== size) throw new Error(`${rows.length} of ${size} guides were gone through`);
  const told = rows.filter(({ least }) => least > 0);
  const ratios = told.map(({ least, minutes }) => minutes / least);
  const sum = (of: (row: Row) => number): number => told.reduce((total, row) => total + of(row), 0);
  const worst = told.toSorted((a, b) => b.minutes / b.least - a.minutes / a.least).slice(0, 5);
  return {
    figures: [
      {
        what: 'minutes of all guides, of the least',
        value: sum(({ minutes }) => minutes) / sum(({ least }) => least),
        sense: 'at most',
        target: 1.02,
      },
      { what: 'the worst guide, of its least', value: Math.max(...ratios), sense: 'at most', target: 1.15 },
      // suspects that hardly count are left out on the way: never below by more than that
      { what: 'the best guide, of its least', value: Math.min(...ratios), sense: 'at least', target: 0.999 },
    ],
    work: { guides: told.length, steps: sum(({ steps }) => steps) },
    numbers: {
      'share above 1.1': ratios.filter((ratio) => ratio > 1.1).length / ratios.length,
      'ratio of 99 %': quantile(ratios, 0.99),
    },
    lines: worst.map(
      ({ number, least, minutes }) => `  guide ${number}: ${minutes.toFixed(2)} min, least ${least.toFixed(2)}`,
    ),
  };
}
