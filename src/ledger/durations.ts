import { bucketFactor } from './sql/month-sums.ts';
import type { DurationCell } from './sql/questions.ts';

/** How long tries of a check took. Seconds; a quantile is that of its bucket's middle, so right to about 12 %. */
export interface CheckDuration {
  guide: string;
  check: string;
  tries: number;
  fails: number;
  /** Null where no try has a known length. */
  medianS: number | null;
  p90S: number | null;
  /** All of them together. */
  minutes: number;
}

/** Returns what the buckets of each check come to, in the order of the cells. */
export function checkDurationsOf(cells: readonly DurationCell[]): CheckDuration[] {
  const byCheck = new Map<string, DurationCell[]>();
  for (const cell of cells) {
    const key = JSON.stringify([cell.guide_id, cell.check_id]);
    byCheck.set(key, [...(byCheck.get(key) ?? []), cell]);
  }
  return [...byCheck.values()].map((some) => {
    const known = some.filter(({ bucket }) => bucket >= 0).sort((a, b) => a.bucket - b.bucket);
    const { guide_id: guide, check_id: check } = some[0]!;
    return {
      guide,
      check,
      tries: some.reduce((sum, { n }) => sum + n, 0),
      fails: some.reduce((sum, { fails }) => sum + fails, 0),
      medianS: quantileOf(known, 0.5),
      p90S: quantileOf(known, 0.9),
      minutes: known.reduce((sum, { bucket, n }) => sum + n * middleS(bucket), 0) / 60,
    };
  });
}

function quantileOf(cells: readonly DurationCell[], share: number): number | null {
  const all = cells.reduce((sum, { n }) => sum + n, 0);
  let seen = 0;
  for (const { bucket, n } of cells) {
    seen += n;
    if (seen >= share * all) return middleS(bucket);
  }
  return null;
}

/** The geometric middle of a bucket, in seconds. */
function middleS(bucket: number): number {
  return bucketFactor ** (bucket + 0.5) / 1000;
}
