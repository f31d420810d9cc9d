import type { Limits } from '../../measure/types.ts';
import type { ReportedOutcome } from '../report-data.ts';

/** Least ohms on a logarithmic scale: a shorted path reads a few milliohm, give or take. */
const leastOhm = 1e-3;

/** What a scale has to span, in ohm (logarithmic) or volt (linear). */
export interface LimitDomain {
  low: number;
  high: number;
  /** What lies below is drawn here. */
  least: number;
}

/**
 * Returns the span of a scale that shows limits and the readings beside them, with some room at
 * both ends.
 */
export function limitDomain(limits: Limits, seen: readonly ReportedOutcome[]): LimitDomain {
  const least = limits.quantity === 'resistance' ? leastOhm : Number.NEGATIVE_INFINITY;
  const ends = seen.flatMap(({ shown }) =>
    shown?.state === 'in-range' ? [shown.value - shown.expanded, shown.value + shown.expanded] : [],
  );
  const values = [limits.min, limits.max, ...ends]
    .filter((value) => value !== undefined)
    .map((value) => Math.max(least, value));
  const low = Math.min(...values);
  const high = Math.max(...values);
  if (limits.quantity === 'resistance') return { low: low / 2, high: high * 2, least };
  const margin = Math.max(0.05, (high - low) * 0.3);
  return { low: low - margin, high: high + margin, least };
}
