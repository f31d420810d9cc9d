import { normalCdf, studentQuantile } from '../../statistics/distributions/distribution.ts';
import { type EwmaChart, ewmaChart, movingRangeSd } from '../../statistics/ewma.ts';
import { meanOf, standardDeviation } from '../../statistics/moments.ts';

/**
 * One value of a proof over time. `u`: the spread that its own reading explains, standard
 * uncertainty. Ohm.
 */
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
 * How proofs are charted unless somebody asks otherwise: common practice for EWMA charts (lambda
 * 0.2, three standard deviations), no source for the baseline.
 */
export const usualHealth: HealthSettings = { lambda: 0.2, width: 3, baseline: 12 };

/**
 * How the proofs of one probe stand. `few`: too few to say. `steady`: the average was never outside
 * its limits. `drifting`: it is now. `returned`: it was, and is back.
 */
export interface ProbeHealth {
  state: 'few' | 'steady' | 'drifting' | 'returned';
  /** Values that are wanted before anything is said beyond the single proofs. */
  needed: number;
  target: number | null;
  sd: number | null;
  /** Of the values after the baseline. */
  chart: EwmaChart | null;
}

/**
 * Returns the health that proofs in order of time show: an EWMA chart of what came after the first
 * `baseline` values, about their mean. Its standard deviation is that of their moving ranges, and
 * at least what the readings' own noise explains, so that a lucky run of equal values sets no alarm
 * off.
 *
 * A short baseline knows its mean and its spread badly: the mean's uncertainty is added to the
 * limits, and the width is widened from the normal distribution's to Student's t. Without that,
 * every fourth healthy probe would be called drifting within twenty proofs.
 */
export function probeHealth(values: readonly HealthValue[], { lambda, width, baseline }: HealthSettings): ProbeHealth {
  const length = Math.max(leastBaseline, baseline);
  const first = values.slice(0, length);
  if (values.length <= length) {
    return { state: 'few', needed: length + 1 - values.length, target: null, sd: null, chart: null };
  }
  const usual = first.map(({ ohm }) => ohm);
  const target = meanOf(usual);
  const noise = Math.sqrt(meanOf(first.map(({ u }) => u * u)));
  // proofs of one job are alike, jobs differ: moving ranges alone would miss what changes from day
  // to day
  const sd = Math.max(movingRangeSd(usual), standardDeviation(usual), noise);
  const chart = ewmaChart(
    values.slice(length).map(({ ohm }) => ohm),
    {
      target,
      sd,
      lambda,
      width: -studentQuantile(normalCdf(-width), movingRangeDof(length)),
      uTarget: sd / Math.sqrt(length),
    },
  );
  const state = chart.signal === null ? 'steady' : chart.points.at(-1)!.out ? 'drifting' : 'returned';
  return { state, needed: 0, target, sd, chart };
}

/** Fewer values than so many have no spread worth the name. */
const leastBaseline = 5;

/**
 * Degrees of freedom of a standard deviation by the moving ranges of n values: its variance is that
 * of the moving-range mean, (0.8264 n - 1) / (n - 1)^2 (Cryer and Ryan, J. Qual. Technol. 22 (1990)
 * 187), against 1 / (2 dof).
 */
function movingRangeDof(n: number): number {
  return (n - 1) ** 2 / (2 * (0.8264 * n - 1));
}
