import { CholeskyDecomposition, Matrix } from 'ml-matrix';
import type { RangeCalibration } from '../../measure/types.ts';
import { fitLeastSquares } from '../../statistics/least-squares.ts';
import {
  byStandard,
  type ErrorModel,
  type IndexedPoint,
  type Observation,
  observe,
} from '../points/standard-observations.ts';
import { type CodeWithPartials, codeWithPartials, type RangeCurve } from './range-curve.ts';

/** A curve through observations, with what its parameters are known to. */
export interface Solved {
  curve: RangeCurve;
  observations: Observation[];
  /** Covariance of (nOff, nOpen, rsOhm) from what differs between standards. */
  ownCovariance: number[][];
  /** Change of each parameter with the set's common error, times its standard uncertainty. */
  common: number[];
  chiSquare: number;
  dof: number;
  iterations: number;
}

export type SolveResult = ({ ok: true } & Solved) | { ok: false; why: 'too-few' | 'undetermined' | 'no-convergence' };

/**
 * How often the weights are taken anew at the curve found; they depend on it little, so three or
 * four times do.
 */
const mostRounds = 25;
/** Parameters that move by less than this share of their uncertainty have come to rest. */
const restShare = 1e-5;

/**
 * Returns the curve that fits the points best, or why there is none. Weighted least squares over
 * the standards, the weights taken anew at each curve found until both rest; `prior` counts as
 * three observations of the parameters with its covariance.
 */
export function solveRange(
  points: readonly IndexedPoint[],
  start: RangeCurve,
  model: ErrorModel,
  prior: RangeCalibration | null,
): SolveResult {
  const groups = byStandard(points);
  const priorRows = prior === null ? null : whiten(prior);
  if (prior !== null && priorRows === null) return { ok: false, why: 'undetermined' };
  // a prior stands in for what the points can't tell, never for the points
  if (groups.length < 3) return { ok: false, why: 'too-few' };
  let curve = start;
  let iterations = 0;
  for (let round = 0; round < mostRounds; round++) {
    const observations = groups.map((group) => observe(group, curve, model));
    const sizes = observations.map(({ variance }) => Math.sqrt(variance));
    const solved = fitLeastSquares({
      start: [curve.nOff, curve.nOpen, curve.rsOhm],
      at: ([nOff, nOpen, rsOhm]) => {
        const here = { nOff: nOff!, nOpen: nOpen!, rsOhm: rsOhm! };
        const predicted = observations.map(({ points: [first] }) => codeWithPartials(ohmAt(first!, model), here));
        const residuals = observations.map(({ code }, i) => (code - predicted[i]!.code) / sizes[i]!);
        const jacobian = predicted.map((at, i) => rowOf(at).map((value) => value / sizes[i]!));
        if (prior !== null) {
          const off = [prior.nOff - here.nOff, prior.nOpen - here.nOpen, prior.rsOhm - here.rsOhm];
          for (const row of priorRows!) {
            residuals.push(dot(row, off));
            jacobian.push(row);
          }
        }
        return { residuals, jacobian };
      },
    });
    if (!solved.ok) return solved;
    iterations += solved.iterations;
    const [nOff, nOpen, rsOhm] = solved.parameters as [number, number, number];
    const before = [curve.nOff, curve.nOpen, curve.rsOhm];
    curve = { nOff, nOpen, rsOhm };
    const atRest = solved.parameters.every(
      (value, i) => Math.abs(value - before[i]!) <= restShare * Math.sqrt(solved.covariance[i]![i]!),
    );
    if (atRest || round === mostRounds - 1) {
      return finish(curve, groups, model, solved.covariance, solved.sumOfSquares, prior !== null, iterations);
    }
  }
  return { ok: false, why: 'no-convergence' };
}

function finish(
  curve: RangeCurve,
  groups: IndexedPoint[][],
  model: ErrorModel,
  ownCovariance: number[][],
  betweenSquares: number,
  hasPrior: boolean,
  iterations: number,
): SolveResult {
  const observations = groups.map((group) => observe(group, curve, model));
  const within = observations.reduce(
    (sum, { points, variances, code }) => sum + points.reduce((s, p, i) => s + (p.code - code) ** 2 / variances[i]!, 0),
    0,
  );
  const count = observations.reduce((sum, { points }) => sum + points.length, 0);
  const pull = [0, 1, 2].map((i) =>
    observations.reduce((sum, { curve: at, commonCode, variance }) => sum + (rowOf(at)[i]! * commonCode) / variance, 0),
  );
  return {
    ok: true,
    curve,
    observations,
    ownCovariance,
    common: ownCovariance.map((row) => dot(row, pull)),
    chiSquare: betweenSquares + within,
    dof: count - 3 + (hasPrior ? 3 : 0),
    iterations,
  };
}

/**
 * Returns the variance in codes squared of the curve at an observation, by what its parameters are
 * known to.
 */
export function curveVariance(at: CodeWithPartials, covariance: readonly (readonly number[])[]): number {
  const row = rowOf(at);
  return Math.max(
    0,
    row.reduce((sum, a, i) => sum + row.reduce((s, b, j) => s + a * b * covariance[i]![j]!, 0), 0),
  );
}

/** Returns the whole covariance: the own part, and the common part as fully correlated. */
export function fullCovariance({ ownCovariance, common }: Solved): number[][] {
  return ownCovariance.map((row, i) => row.map((value, j) => value + common[i]! * common[j]!));
}

/**
 * Returns what a curve of the form takes from the points themselves, by solving N R + N rs = nOpen
 * R + nOff rs for its linear terms; null if that is no curve.
 */
export function startingCurve(points: readonly IndexedPoint[], model: ErrorModel): RangeCurve | null {
  const ohms = points.map((point) => ohmAt(point, model)).filter((ohm) => Number.isFinite(ohm) && ohm > 0);
  if (ohms.length === 0) return null;
  const scale = Math.exp(ohms.reduce((sum, ohm) => sum + Math.log(ohm), 0) / ohms.length);
  const rows: number[][] = [];
  const codes: number[] = [];
  for (const point of points) {
    const ohm = ohmAt(point, model);
    const share = ohm === Number.POSITIVE_INFINITY ? 1 : ohm / (ohm + scale);
    rows.push([-point.code * (1 - share), share * scale, 1 - share]);
    codes.push(point.code * share * scale);
  }
  const solved = fitLeastSquares({
    start: [0, 0, 0],
    at: ([a, b, c]) => ({
      residuals: rows.map((row, i) => codes[i]! - (row[0]! * a! + row[1]! * b! + row[2]! * c!)),
      jacobian: rows,
    }),
  });
  if (!solved.ok) return null;
  const [rsOhm, nOpen, offTimesRs] = solved.parameters as [number, number, number];
  const nOff = offTimesRs / rsOhm;
  return rsOhm > 0 && nOpen > nOff ? { nOff, nOpen, rsOhm } : null;
}

/**
 * Resistance between the tips as the front end sees it: the standard and what remains of leads and
 * tips.
 */
function ohmAt({ standard }: IndexedPoint, { leadOhm }: ErrorModel): number {
  if (standard.kind === 'short') return leadOhm;
  if (standard.kind === 'resistor') return standard.ohm + leadOhm;
  return Number.POSITIVE_INFINITY;
}

/** Returns the derivatives by the three parameters, in their order. */
export function rowOf({ byOff, byOpen, byRs }: CodeWithPartials): number[] {
  return [byOff, byOpen, byRs];
}

/**
 * Returns rows that make a prior's deviations independent and of unit size, or null when its
 * covariance is none.
 */
function whiten({ cov }: RangeCalibration): number[][] | null {
  const [offOff, offOpen, offRs, openOpen, openRs, rsRs] = cov;
  const cholesky = new CholeskyDecomposition(
    new Matrix([
      [offOff, offOpen, offRs],
      [offOpen, openOpen, openRs],
      [offRs, openRs, rsRs],
    ]),
  );
  if (!cholesky.isPositiveDefinite()) return null;
  const l = cholesky.lowerTriangularMatrix;
  const inverse: number[][] = [];
  for (let i = 0; i < 3; i++) {
    const row = [0, 0, 0];
    for (let j = 0; j <= i; j++) {
      let sum = i === j ? 1 : 0;
      for (let k = j; k < i; k++) sum -= l.get(i, k) * inverse[k]![j]!;
      row[j] = sum / l.get(i, i);
    }
    inverse.push(row);
  }
  return inverse;
}

function dot(a: readonly number[], b: readonly number[]): number {
  return a.reduce((sum, value, i) => sum + value * b[i]!, 0);
}
