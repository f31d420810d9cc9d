import { inverse, Matrix } from 'ml-matrix';
import { formatQuantity } from '../../measure/reading/format.ts';
import { nominalCalibration } from '../../measure/reading/nominal.ts';
import type { Level, RangeCalibration } from '../../measure/types.ts';
import type { CalPoint, Standard } from '../points/cal-point.ts';
import { byStandard, type ErrorModel, type IndexedPoint, observe } from '../points/standard-observations.ts';
import { nearestPreferred } from '../standards/e-series.ts';
import { uCalibrationOhm } from './calibration-uncertainty.ts';
import { errorModel, fitRange } from './fit-range.ts';
import type { FitOptions, NextStandard } from './fit-types.ts';
import { needsPrior } from './range-prior.ts';
import { rowOf } from './solve-range.ts';
import { spreadOver, workingSpanOhm } from './working-span.ts';

/** Which ranges are to be calibrated, and how they are fitted. */
export interface NextOptions {
  /** Ranges and levels asked about (default: all that the probe has). */
  ranges?: readonly { range: number; level: Level }[];
  fit?: FitOptions;
}

/** Values that the uncertainty is looked at, per range. */
const targets = 9;
/**
 * A good reading: a tenth of a percent and a milliohm. Only ratios matter, so the choice weighs
 * small values against large ones.
 */
const goodRel = 0.001;
const goodOhm = 0.001;
/** A resistor this far beyond the ends of a range's span still says something of it. */
const reach = 1.5;
/** Scatter of a touch that has not been made yet, in codes, where no other has. */
const usualCode = 1;
const defaultTolerance = 0.001;

/**
 * Returns the standards whose next touch lowers the uncertainty most, best first: by what each
 * would add to the information matrix of its range (the criterion of I-optimal design: the mean
 * variance over the range's span), starting from the parts' tolerances and the points there are.
 * Empty when nothing can be presented.
 *
 * @param candidates what can be presented; null: shorted tips, open tips, and E3 values of 0.1 %
 *   over each range
 */
export function nextStandard(
  points: readonly CalPoint[],
  candidates: readonly Standard[] | null = null,
  options: NextOptions = {},
): NextStandard[] {
  const asked = options.ranges ?? nominalCalibration.ranges;
  const found = asked.flatMap(({ range, level }) => {
    const nominal = nominalCalibration.ranges.find((entry) => entry.range === range && entry.level === level);
    return nominal === undefined ? [] : inRange(points, nominal, candidates, options.fit ?? {});
  });
  return found.sort((a, b) => b.gain - a.gain);
}

function inRange(
  points: readonly CalPoint[],
  nominal: RangeCalibration,
  candidates: readonly Standard[] | null,
  options: FitOptions,
): NextStandard[] {
  const { range, level } = nominal;
  const span = workingSpanOhm(range, level)!;
  const model = errorModel(options);
  const own = points.flatMap((point, index): IndexedPoint[] =>
    point.range === range && point.level === level ? [{ ...point, index }] : [],
  );
  const fitted = own.length < 3 ? null : fitRange(own, options);
  const outliers = fitted?.ok === true ? fitted.fit.outliers.map(({ index }) => index) : [];
  const used = own.filter((_, i) => !outliers.includes(i));
  const curve: RangeCalibration = fitted?.ok === true && fitted.fit.verdict !== 'refused' ? fitted.fit : nominal;
  const uCode = medianOf(own.map((point) => point.uCode)) ?? usualCode;
  const ohms = spreadOver(span, targets);
  const size = (chosen: readonly IndexedPoint[]): number =>
    typicalSize(covarianceWith(chosen, curve, nominal, model), curve, ohms);
  const before = size(used);
  return candidatesOf(nominal, span, candidates).map((standard) => {
    const added: IndexedPoint = { range, level, standard, code: 0, uCode, n: 1, index: -1 };
    const after = size([...used, added]);
    const percent = (value: number): string => `${(100 * goodRel * value).toPrecision(2)} %`;
    const why = `brings the calibration's typical uncertainty on range ${range} ${level} from ${percent(before)} to ${percent(after)}`;
    return { range, level, standard, gain: before / after, why };
  });
}

/**
 * Those of the candidates that tell this range something; a range that can't show its open level
 * has nothing of an open.
 */
function candidatesOf(
  nominal: RangeCalibration,
  { least, most }: { least: number; most: number },
  candidates: readonly Standard[] | null,
): Standard[] {
  const noOpen = needsPrior(nominal);
  const offered = candidates ?? [
    { kind: 'short' },
    { kind: 'open' },
    ...spreadOver({ least, most }, 7).map(usualResistor),
  ];
  return offered.filter((standard) => {
    if (standard.kind === 'resistor')
      return standard.ohm >= least / reach && standard.ohm <= most * (noOpen ? 1 : reach);
    return standard.kind === 'short' || (standard.kind === 'open' && !noOpen);
  });
}

function usualResistor(ohm: number): Standard {
  const preferred = nearestPreferred(ohm, 'E3');
  const uOhm = (preferred * defaultTolerance) / Math.sqrt(3);
  return { kind: 'resistor', ohm: preferred, uOhm, uCommonRel: 0, name: formatQuantity(preferred, 'resistance') };
}

/**
 * Covariance of the parameters after the given touches, from what the parts' tolerances leave open.
 */
function covarianceWith(
  points: readonly IndexedPoint[],
  curve: RangeCalibration,
  { cov }: RangeCalibration,
  model: ErrorModel,
): RangeCalibration['cov'] {
  const [offOff, offOpen, offRs, openOpen, openRs, rsRs] = cov;
  // in units of the parts' own uncertainty, so that no number dwarfs another
  const units = [offOff, openOpen, rsRs].map(Math.sqrt);
  const matrix = [
    [offOff, offOpen, offRs],
    [offOpen, openOpen, openRs],
    [offRs, openRs, rsRs],
  ].map((row, i) => row.map((value, j) => value / (units[i]! * units[j]!)));
  const information = inverse(new Matrix(matrix)).to2DArray();
  for (const group of byStandard(points)) {
    const { curve: at, variance } = observe(group, curve, model);
    const row = rowOf(at).map((value, i) => value * units[i]!);
    for (let i = 0; i < 3; i++) for (let j = 0; j < 3; j++) information[i]![j]! += (row[i]! * row[j]!) / variance;
  }
  const after = inverse(new Matrix(information))
    .to2DArray()
    .map((row, i) => row.map((value, j) => value * units[i]! * units[j]!));
  return [after[0]![0]!, after[0]![1]!, after[0]![2]!, after[1]![1]!, after[1]![2]!, after[2]![2]!];
}

/** Root mean square of the uncertainty at the targets, in units of a good reading's. */
function typicalSize(cov: RangeCalibration['cov'], curve: RangeCalibration, ohms: readonly number[]): number {
  const squares = ohms.map((ohm) => (uCalibrationOhm(ohm, { ...curve, cov }) / (goodRel * ohm + goodOhm)) ** 2);
  return Math.sqrt(squares.reduce((sum, value) => sum + value, 0) / squares.length);
}

function medianOf(values: readonly number[]): number | null {
  return values.length === 0 ? null : [...values].sort((a, b) => a - b)[values.length >> 1]!;
}
