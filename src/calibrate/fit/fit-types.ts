import type { Calibration, Level, RangeCalibration, VoltageCalibration } from '../../measure/types.ts';
import type { CalibrationBlock } from '../../protocol/calibration-block.ts';
import type { CalPoint } from '../points/cal-point.ts';

/**
 * Whether a fit may be relied on. `doubtful` may be used by somebody who has read why; `refused`
 * never.
 */
export type FitVerdict = 'good' | 'doubtful' | 'refused';

/**
 * Something to be said about a fit: a stable code, a sentence, and the verdict that it allows at
 * best.
 */
export interface FitProblem {
  code: string;
  text: string;
  atBest: FitVerdict;
}

/** Likeliest cause of a point that does not belong. */
export type OutlierCause = 'swapped' | 'wrong-range' | 'wrong-resistor' | 'bad-touch' | 'leak' | 'unexplained';

/** A point that does not belong: left out of the fit, and named. */
export interface Outlier {
  /** Place in the points that were given. */
  index: number;
  /** Deviation from the fit of the others, in standard deviations. */
  deviation: number;
  /** What the standard reads by the fit of the others, in ohm; Infinity of an open. */
  readsOhm: number;
  cause: OutlierCause;
  /** Marked value that the standard would be, in ohm (wrong resistor, swapped). */
  wouldBeOhm: number | null;
  /** The other point of two that are swapped. */
  otherIndex: number | null;
  /** What it is, and what to do, in one sentence. */
  text: string;
}

/**
 * One point beside the fit. Codes; `standardised` is the residual over its expected size (about
 * -2..2 where all is well).
 */
export interface Residual {
  index: number;
  residualCode: number;
  residualOhm: number | null;
  standardised: number;
  used: boolean;
}

/**
 * The three parameters of one range at one level as fitted, with what speaks for and against them.
 */
export interface RangeFit extends RangeCalibration {
  /** Standard uncertainties of the three parameters. */
  uOff: number;
  uOpen: number;
  uRsOhm: number;
  /**
   * The part of the relative uncertainty of every resistance that is read which all points have in
   * common; contained in `cov`.
   */
  uCommonRel: number;
  residuals: Residual[];
  chiSquare: number;
  dof: number;
  /**
   * Probability of a chi-square as large or larger when the stated uncertainties are right; 1 with
   * no degrees of freedom.
   */
  probability: number;
  iterations: number;
  outliers: Outlier[];
  verdict: FitVerdict;
  problems: FitProblem[];
}

export type RangeFitResult = { ok: true; fit: RangeFit } | { ok: false; problem: FitProblem };

/** The voltage channel as fitted. */
export interface VoltageFit extends VoltageCalibration {
  residuals: Residual[];
  chiSquare: number;
  dof: number;
  probability: number;
  verdict: FitVerdict;
  problems: FitProblem[];
}

export type VoltageFitResult = { ok: true; fit: VoltageFit } | { ok: false; problem: FitProblem };

/** What a fit assumes beside the points. */
export interface FitOptions {
  /**
   * Residue of leads and tips in every touch, in ohm (default: that of an unmeasured probe). It
   * cancels in what is measured later.
   */
  leadOhm?: number;
  /**
   * How much that residue differs from touch to touch, standard uncertainty in ohm (default
   * 0.0005).
   */
  uTouchOhm?: number;
  /**
   * What the converter's curve departs from a straight line by, standard uncertainty in codes
   * (default: half a step of each conversion as limits).
   */
  uLinearityCode?: number;
  /** What is known of the range beforehand, for what the points can't tell (default: nothing). */
  prior?: RangeCalibration;
  /** Calibrations of other ranges, to recognise a point that belongs to one of them. */
  others?: readonly RangeCalibration[];
}

/** What a calibration is labelled with. */
export interface CalibrationMeta {
  probeSerial: number;
  /** Unix time in seconds. */
  dateUnixS: number;
  /** Days from the date on; null: no end stated. */
  validDays: number | null;
  /** Degrees Celsius; null: not known. */
  temperatureC: number | null;
  /** Identity of the resistor set, at most 16 ASCII characters. */
  setId: string;
}

/** One range at one level, fitted or not. */
export type RangeOutcome = { range: number; level: Level; pointIndexes: number[] } & RangeFitResult;

/** A whole calibration as fitted. `calibration` and `block` are null when it is refused. */
export interface CalibrationFit {
  verdict: FitVerdict;
  problems: FitProblem[];
  ranges: RangeOutcome[];
  voltage: VoltageFitResult | null;
  /** Ranges and levels without a point: they keep nominal values. */
  missing: { range: number; level: Level }[];
  calibration: Calibration | null;
  block: CalibrationBlock | null;
}

/**
 * A standard to present next, best first. `gain`: by how much the typical uncertainty of that range
 * falls (before / after).
 */
export interface NextStandard {
  range: number;
  level: CalPoint['level'];
  standard: CalPoint['standard'];
  gain: number;
  why: string;
}
