import { clipMargin } from '../../measure/reading/calibration.ts';
import { fullScaleCode, nominalCalibration, uTouchOhm } from '../../measure/reading/nominal.ts';
import { frontEndTable } from '../../protocol/table.ts';
import type { CalPoint } from '../points/cal-point.ts';
import { pointProblem } from '../points/point-problem.ts';
import { byStandard, type ErrorModel, type IndexedPoint } from '../points/standard-observations.ts';
import { diagnose } from './fit-diagnosis.ts';
import type { FitOptions, FitProblem, RangeFit, RangeFitResult } from './fit-types.ts';
import { judgeRange } from './fit-verdict.ts';
import { isConsistent, probabilityOf, type Search, searchOutliers } from './outlier-search.ts';
import { residualOfOther, residualsOf } from './residuals.ts';
import { fullCovariance, rowOf, type Solved, solveRange, startingCurve } from './solve-range.ts';

/**
 * Half a converter step of each conversion, as limits of a rectangular distribution: what readings
 * reckon with too.
 */
const uLinearityCode = (frontEndTable.sumOf * 0.5) / Math.sqrt(3);

/**
 * Returns the three parameters of one range at one level from touches on known standards, with
 * covariance, residuals, chi-square and a verdict, or in one sentence why the points determine no
 * curve. Points that contradict the others are left out and named (`outliers`); those where the
 * converter ended are left out and have no residual.
 *
 * The model is the measuring equation N = nOff + (nOpen - nOff) R / (R + rs), fitted by least
 * squares with effective variance. The set's common error is no scatter: it is added to the
 * covariance at the end, fully correlated.
 *
 * @param points all of one range and level, in any order
 */
export function fitRange(points: readonly CalPoint[], options: FitOptions = {}): RangeFitResult {
  const indexed = points.map((point, index) => ({ ...point, index }));
  const bad = pointProblem(points);
  if (bad !== null) return { ok: false, problem: bad };
  const { range, level } = points[0]!;
  if (level === 'voltage') {
    return refuse('level', 'these points are of the voltage channel, which has a fit of its own');
  }
  const model = errorModel(options);
  const prior = options.prior ?? null;
  const readable = indexed.filter(isReadable);
  const solve = (chosen: readonly IndexedPoint[]): Solved | null => {
    const nominal = nominalCalibration.ranges.find((entry) => entry.range === range && entry.level === level);
    const start = startingCurve(chosen, model) ?? prior ?? nominal;
    if (start === undefined) return null;
    const result = solveRange(chosen, start, model, prior);
    return result.ok && isCurve(result) ? result : null;
  };
  const whole = solve(readable);
  // points far from where they belong can bend the curve out of all shape: there may be one without
  // them
  const search = whole !== null && isConsistent(whole) ? null : searchOutliers(readable, solve, prior === null ? 0 : 3);
  const solved = search?.found === true ? search.solved : whole;
  if (solved === null) return { ok: false, problem: undetermined(readable, prior !== null) };
  const out = search?.found === true ? search.out : [];
  const covariance = fullCovariance(solved);
  const [[offOff, offOpen, offRs], [, openOpen, openRs], [, , rsRs]] = covariance as [number[], number[], number[]];
  const bare: RangeFit = {
    range,
    level,
    ...solved.curve,
    cov: [offOff!, offOpen!, offRs!, openOpen!, openRs!, rsRs!],
    uOff: Math.sqrt(offOff!),
    uOpen: Math.sqrt(openOpen!),
    uRsOhm: Math.sqrt(rsRs!),
    uCommonRel: commonRelOf(solved),
    residuals: [...residualsOf(solved), ...out.map((point) => residualOfOther(point, solved, model))].sort(
      (a, b) => a.index - b.index,
    ),
    chiSquare: solved.chiSquare,
    dof: solved.dof,
    probability: probabilityOf(solved),
    iterations: solved.iterations,
    outliers: [],
    verdict: 'good',
    problems: [],
  };
  const outliers = diagnose(out, bare, indexed, options.others ?? nominalCalibration.ranges, model);
  const clipped = indexed.filter((point) => !readable.includes(point));
  return { ok: true, fit: judgeRange({ ...bare, outliers }, { readable, clipped, rivals: rivalsOf(search) }) };
}

/**
 * Returns the relative standard uncertainty of what the curve reads by the set's common error,
 * taken at the resistor where codes tell most. Where a prior holds the source resistance, the
 * common error moves the open level in its place; what is read moves all the same.
 */
function commonRelOf({ observations, common }: Solved): number {
  const resistors = observations.flatMap(({ points, curve }) => {
    const { standard } = points[0]!;
    return standard.kind === 'resistor' ? [{ curve, codePerRel: curve.byOhm * standard.ohm }] : [];
  });
  if (resistors.length === 0) return 0;
  const { curve, codePerRel } = resistors.reduce((a, b) => (b.codePerRel > a.codePerRel ? b : a));
  return Math.abs(rowOf(curve).reduce((sum, by, i) => sum + by * common[i]!, 0)) / codePerRel;
}

function rivalsOf(search: Search | null): IndexedPoint[] | 'none-explains' {
  if (search === null) return [];
  return search.found ? search.rivals : 'none-explains';
}

/** Returns what the fit assumes of errors, with defaults filled in. */
export function errorModel(options: FitOptions): ErrorModel {
  return {
    leadOhm: options.leadOhm ?? nominalCalibration.leadOhm,
    uTouchOhm: options.uTouchOhm ?? uTouchOhm,
    uLinearityCode: options.uLinearityCode ?? uLinearityCode,
  };
}

/**
 * Codes at the converter's ends hold clipped conversions: the open of range 0, and a reversed
 * voltage.
 */
function isReadable({ code }: CalPoint): boolean {
  return code <= fullScaleCode - clipMargin && code >= clipMargin / 10;
}

function isCurve({ curve, ownCovariance }: Solved): boolean {
  const variances = ownCovariance.map((row, i) => row[i]!);
  return curve.rsOhm > 0 && curve.nOpen > curve.nOff && variances.every((v) => Number.isFinite(v) && v >= 0);
}

function undetermined(readable: readonly IndexedPoint[], hasPrior: boolean): FitProblem {
  const has = (kind: string): boolean => readable.some(({ standard }) => standard.kind === kind);
  const lacking = [
    ...(has('short') ? [] : ['the shorted tips']),
    ...(has('open') || hasPrior ? [] : ['the open tips']),
    ...(has('resistor') ? [] : ['a known resistor']),
  ];
  if (lacking.length === 0 && byStandard(readable).length > 3) {
    const text = 'the points contradict one another so much that no curve goes through them; take every point again';
    return { code: 'inconsistent', text, atBest: 'refused' };
  }
  const what = lacking.length === 0 ? 'resistors of other values' : lacking.join(', ');
  const text = `these points determine no curve (three parameters need three different standards, and codes that rise with them); add ${what}`;
  return { code: 'undetermined', text, atBest: 'refused' };
}

function refuse(code: string, text: string): RangeFitResult {
  return { ok: false, problem: { code, text, atBest: 'refused' } };
}
