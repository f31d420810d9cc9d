import { type CodeWithPartials, codeWithPartials, type RangeCurve } from '../fit/range-curve.ts';
import { type CalPoint, standardKey, standardOhm } from './cal-point.ts';

/** A point with its place among the points that were given. */
export interface IndexedPoint extends CalPoint {
  index: number;
}

/** What a point's code may differ by from the curve's. */
export interface ErrorModel {
  leadOhm: number;
  uTouchOhm: number;
  uLinearityCode: number;
}

/**
 * All touches on one standard, as one observation: they share the error of the standard and that of
 * the converter at this code.
 */
export interface Observation {
  points: IndexedPoint[];
  /** Variance of each point's code from touch to touch, in the order of `points`. */
  variances: number[];
  /** Mean code, weighted by those variances. */
  code: number;
  /** Variance that the points share (standard and converter). */
  sharedVariance: number;
  /** Variance of the mean: the shared part and what is left of the others. */
  variance: number;
  /** Change of the code with the set's common relative error, times its standard uncertainty. */
  commonCode: number;
  curve: CodeWithPartials;
}

/**
 * No code is known better than this (variance in codes squared): keeps a point given as exact from
 * becoming the only one that counts.
 */
const leastVariance = 1e-6;

/** Returns the points by standard: one group for all touches on the same one. */
export function byStandard(points: readonly IndexedPoint[]): IndexedPoint[][] {
  const groups = new Map<string, IndexedPoint[]>();
  for (const point of points) {
    const key = standardKey(point.standard);
    const group = groups.get(key);
    if (group === undefined) groups.set(key, [point]);
    else group.push(point);
  }
  return [...groups.values()];
}

/**
 * Returns what a group of touches on one standard says, with effective variance: the standard's
 * uncertainty is brought to codes by the curve's slope there (J. Orear, Am. J. Phys. 50 (1982) 912,
 * from memory). Repeats average out the scatter of codes and touches, not the standard's own error.
 */
export function observe(points: IndexedPoint[], curve: RangeCurve, model: ErrorModel): Observation {
  const { standard } = points[0]!;
  const ohm = standardOhm(standard);
  const at = codeWithPartials(ohm + model.leadOhm, curve);
  const uTouchCode = at.byOhm * model.uTouchOhm;
  const variances = points.map(({ uCode }) => Math.max(leastVariance, uCode ** 2 + uTouchCode ** 2));
  const weight = variances.reduce((sum, variance) => sum + 1 / variance, 0);
  const code = points.reduce((sum, point, i) => sum + point.code / variances[i]!, 0) / weight;
  const uStandardCode = standard.kind === 'resistor' ? at.byOhm * standard.uOhm : 0;
  const sharedVariance = uStandardCode ** 2 + model.uLinearityCode ** 2;
  const commonCode = standard.kind === 'resistor' ? at.byOhm * standard.ohm * standard.uCommonRel : 0;
  return { points, variances, code, sharedVariance, variance: sharedVariance + 1 / weight, commonCode, curve: at };
}
