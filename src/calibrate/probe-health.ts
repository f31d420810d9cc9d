import { type EwmaChart, ewmaChart, movingRangeSd } from './ewma.ts';
import { meanOf } from './moments.ts';

/** One value of a proof over time. `u`: the spread that its own reading explains, standard uncertainty. Ohm. */
export interface HealthValue {
  ohm: number;
  u: number;
}

/** How a chart of proofs is drawn. */
export interface HealthSettings {
  /** Weight of the newest value, 0..1. */
  lambda: number;
  /** Limits in standard deviations of the average. */
  width: number;
  /** The first so many values show what is usual. */
  baseline: number;
}

/**
 * How the proofs of one probe stand. `few`: too few to say. `steady`: the average was never outside its limits. `drifting`: it is now. `returned`: it
 * was, and is back.
 */
export interface ProbeHealth {
  state: 'few' | 'steady' | 'drifting' | 'returned';
  /** Values that are wanted before anything is said beyond the single proofs. */
  needed: number;
  target: number | null;
  sd: number | null;
  chart: EwmaChart | null;
}

/**
 * Returns the health that proofs in order of time show: an EWMA chart about the mean of the first `baseline` values. Its standard deviation is that of their
 * moving ranges, and at least what the readings' own noise explains, so that a lucky run of equal values sets no alarm off. Nothing is said before
 * there is a value beyond the baseline.
 */
export function probeHealth(values: readonly HealthValue[], { lambda, width, baseline }: HealthSettings): ProbeHealth {
  const first = values.slice(0, baseline);
  if (values.length <= baseline || baseline < 2) {
    return { state: 'few', needed: Math.max(2, baseline) + 1 - values.length, target: null, sd: null, chart: null };
  }
  const usual = first.map(({ ohm }) => ohm);
  const target = meanOf(usual);
  const noise = Math.sqrt(meanOf(first.map(({ u }) => u * u)));
  const sd = Math.max(movingRangeSd(usual), noise);
  const chart = ewmaChart(
    values.map(({ ohm }) => ohm),
    { target, sd, lambda, width },
  );
  const state = chart.signal === null ? 'steady' : chart.points.at(-1)!.out ? 'drifting' : 'returned';
  return { state, needed: 0, target, sd, chart };
}
