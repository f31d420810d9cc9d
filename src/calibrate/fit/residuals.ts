import { type ErrorModel, type IndexedPoint, observe } from '../points/standard-observations.ts';
import type { Residual } from './fit-types.ts';
import { curveVariance, type Solved } from './solve-range.ts';

/**
 * A residual whose expected size is less than this share of its point's own is one that the fit
 * goes through by force.
 */
const forcedShare = 1e-6;

/**
 * Returns each point's residual in codes and in units of its expected size, for points that took
 * part in the fit. Common errors move all points alike and are left out.
 */
export function residualsOf({ observations, ownCovariance }: Solved): Residual[] {
  return observations.flatMap(({ points, variances, sharedVariance, curve }) => {
    // a fitted point lies nearer to the curve than its own uncertainty: the curve has moved towards
    // it
    const leverage = curveVariance(curve, ownCovariance);
    return points.map((point, i) => {
      const own = variances[i]! + sharedVariance;
      const size2 = own - leverage;
      const residualCode = point.code - curve.code;
      const standardised = size2 > forcedShare * own ? residualCode / Math.sqrt(size2) : 0;
      return {
        index: point.index,
        residualCode,
        residualOhm: inOhm(residualCode, curve.byOhm),
        standardised,
        used: true,
      };
    });
  });
}

/**
 * Returns the residual of a point that took no part in the fit: its size holds what the curve is
 * not known to.
 */
export function residualOfOther(point: IndexedPoint, solved: Solved, model: ErrorModel): Residual {
  const { variances, sharedVariance, curve } = observe([point], solved.curve, model);
  const size2 = variances[0]! + sharedVariance + curveVariance(curve, solved.ownCovariance);
  const residualCode = point.code - curve.code;
  return {
    index: point.index,
    residualCode,
    residualOhm: inOhm(residualCode, curve.byOhm),
    standardised: residualCode / Math.sqrt(size2),
    used: false,
  };
}

function inOhm(code: number, byOhm: number): number | null {
  return byOhm > 0 ? code / byOhm : null;
}
