/**
 * Level of the open-circuit voltage: normal (0.2 V) or dry (0.02 V, too low to break a film on a
 * contact down).
 */
export type Level = 'normal' | 'dry';

/** What is measured between the tips: ohm or volt. */
export type Quantity = 'resistance' | 'voltage';

/**
 * The three parameters of one range at one level, in `N = nOff + (nOpen - nOff) * R / (R + rsOhm)`,
 * with N the sum of 16 conversions (0..16368). `nOpen` may lie above the converter's end (range 0
 * saturates long before an open).
 */
export interface RangeCalibration {
  range: number;
  level: Level;
  nOff: number;
  nOpen: number;
  rsOhm: number;
  /**
   * Upper triangle of the covariance, row by row: off-off, off-open, off-rs, open-open, open-rs,
   * rs-rs.
   */
  cov: [number, number, number, number, number, number];
  /**
   * Relative standard uncertainty that all standards of the reference set have in common. It is in
   * `cov` already; known here, it is told as a part of its own.
   */
  uCommonRel?: number;
}

/** The voltage channel: `N = nZero + codesPerVolt * V`. */
export interface VoltageCalibration {
  nZero: number;
  codesPerVolt: number;
  /** Standard uncertainty of nZero, in codes. */
  uZero: number;
  /** Relative standard uncertainty of codesPerVolt. */
  uCodesPerVoltRel: number;
}

/**
 * What a probe may have changed by since it was calibrated. The nominal calibration has none: its
 * tolerances hold it already. All but `temperatureC` are relative, or relative per kelvin.
 */
export interface CalibrationDrift {
  /** Temperature of the probe at its calibration in degrees Celsius; null: not noted. */
  temperatureC: number | null;
  /** The probe is taken to be within this many kelvin of it, either way, when it is used. */
  withinK: number;
  /**
   * Largest change per kelvin of a source resistor, of the open-circuit level over the reference,
   * and of the voltage scale.
   */
  sourcePerK: number;
  spanPerK: number;
  voltPerK: number;
  /** Standard uncertainty from the ageing of the parts over the time since. */
  ageingRel: number;
  /**
   * Periods of validity that have begun since: 1 while it is valid, more when it has expired; null:
   * its age is not known.
   */
  periods: number | null;
}

/** A calibration in force: embedded whole in each record that used it. JSON-able. */
export interface Calibration {
  id: string;
  source: 'nominal' | 'probe' | 'file';
  probeSerial: number | null;
  dateIso: string | null;
  validDays: number | null;
  ranges: RangeCalibration[];
  voltage: VoltageCalibration;
  /** Residue of leads and tips, subtracted from each resistance (Kelvin tips: near zero). */
  leadOhm: number;
  uLeadOhm: number;
  drift?: CalibrationDrift;
  /**
   * The probe's built-in check resistor as this calibration reads it, in ohm, with its standard
   * uncertainty.
   */
  check?: { ohm: number; uOhm: number };
}

/** One named contribution to a reading's standard uncertainty, in the reading's unit. */
export interface UncertaintyPart {
  name: string;
  u: number;
  /** Degrees of freedom; left out where the part is taken as well known. */
  dof?: number;
}

/**
 * A value with its uncertainty, in ohm or volt. All numbers are finite, so a reading survives JSON.
 * - `in-range`: `value` and `u` are the estimate and its standard uncertainty. A resistance may be
 *   slightly negative.
 * - `above-range`: the true value is beyond `rangeEnd` with near certainty; `value` is `rangeEnd`,
 *   a bound and not an estimate.
 * - `below-range`: a resistance below zero by more than its uncertainty explains (foreign voltage
 *   or wrong calibration), or a voltage beyond `-rangeEnd`.
 * - `unreadable`: nothing can be said (empty window, or a range that the calibration does not
 *   hold); `value` is 0 and `u` is `rangeEnd`. It decides as borderline, never as a pass.
 */
export interface Reading {
  quantity: Quantity;
  value: number;
  u: number;
  /** Effective degrees of freedom (Welch-Satterthwaite), at most 1e6. */
  dof: number;
  state: 'in-range' | 'above-range' | 'below-range' | 'unreadable';
  /** Largest magnitude that the window's range can measure. */
  rangeEnd: number;
  parts: UncertaintyPart[];
}

/** Limits of a check in ohm or volt; a bound left out does not bind. */
export interface Limits {
  quantity: Quantity;
  min?: number;
  max?: number;
}

/** What a check came to. Only `pass` is a pass. */
export type Outcome = 'pass' | 'fail' | 'borderline' | 'unsteady' | 'no-contact' | 'live';

/** Decision rule: guarded by a probability (default 0.975), or the estimate alone. */
export type Rule = { name: 'guarded'; p: number } | { name: 'simple' };

/**
 * A decision with its reason. `pInside`: probability that the true value lies inside the limits.
 */
export interface Decision {
  outcome: 'pass' | 'fail' | 'borderline';
  pInside: number;
  why: string;
}

/**
 * Raw codes of a captured window: evenly spaced by `periodUs` from `tUs`, all of one range, level
 * and set of flags.
 */
export interface CaptureWindow {
  tUs: number;
  periodUs: number;
  range: number;
  level: Level;
  flagBits: number;
  codes: number[];
}

/** Times and counts of a touch. Contact is looked for on the probe's clock, in microseconds. */
export interface ContactSettings {
  /** Length of the window that must be steady (default 24 000; least 8 readings). */
  windowUs: number;
  /** How long the window must stay steady before it is captured (default 12 000; least 0). */
  dwellUs: number;
  /** Contact without settling for this long is unsteady (default 2 000 000). */
  unsteadyAfterUs: number;
  /** No contact for this long is a lift; shorter is a bounce or a drop-out (default 30 000). */
  liftUs: number;
  /**
   * A drop-out or wandering of a captured touch counts only if the touch then holds for this long,
   * so that lifting the tips is no fault (default 100 000).
   */
  confirmUs: number;
  /** The probe tells whether both pins of a tip touch (capability seatSense; default true). */
  seatSense: boolean;
  /** Path closed below this share of the open level (default 0.90). */
  makeBelow: number;
  /** Path open above this share of the open level (default 0.95). */
  breakAbove: number;
  /**
   * Relative spread of a resistance that a steady touch may show beyond the noise (default 0.005).
   */
  maxRelSpread: number;
  /**
   * Relative change over the window that a steady touch may show beyond the noise (default 0.01).
   */
  maxRelDrift: number;
  /** Relative deviation from the captured value at which a held touch wanders (default 0.05). */
  maxRelWander: number;
  /** Floor under the three relative limits, in ohm (default 0.003). */
  floorOhm: number;
  /** Floor under the three relative limits, in volt (default 0.02). */
  floorVolt: number;
  /** Noise that is expected of the converter and of mains pickup. */
  noise: NoiseModel;
}

/** Expected noise of a steady reading. */
interface NoiseModel {
  /**
   * Noise of a single conversion, in converter steps rms, beside its quantisation (default 0.6).
   */
  converterLsb: number;
  /**
   * Mains current picked up by open leads, in ampere rms: seen across the source resistor (default
   * 1e-9).
   */
  humAmpere: number;
}

/** A touch in numbers. */
export interface ContactSummary {
  /** From the first make to now (for a lift: to the last moment of contact). */
  touchUs: number;
  /** Closures from the first make until settled. 1: no bounce was seen. */
  makes: number;
  /** From the first make to the last break before settling; 0 without a break. */
  bounceUs: number;
  /**
   * Drop-outs of a captured touch while held. `subReading`: at least so many were shorter than one
   * reading (from the edge counter).
   */
  dropOuts: { count: number; longestUs: number; totalUs: number; subReading: number };
  /**
   * From the first make to the first moment of steadiness that led to the capture; 0 while not
   * settled.
   */
  settleUs: number;
  /** Both tips were seen seated (probes with seat sense only). */
  seated: boolean;
}

/**
 * What happened to the contact, in probe time. One touch gives one make, at most one captured, at
 * most one unsteady, one lift.
 */
export type ContactEvent =
  | { kind: 'make'; tUs: number }
  | { kind: 'settling'; tUs: number; progress: number }
  | { kind: 'captured'; tUs: number; window: CaptureWindow; contact: ContactSummary; reading: Reading }
  | { kind: 'unsteady'; tUs: number; window: CaptureWindow; contact: ContactSummary; why: string }
  | { kind: 'lift'; tUs: number; contact: ContactSummary }
  | { kind: 'live'; tUs: number; on: boolean };

/** Times of a press check, in microseconds of the probe's clock. */
export interface PressSettings {
  /** Window of the steady closed reading (default 24 000). */
  windowUs: number;
  /** Open for this long ends a press; shorter is bounce (default 30 000). */
  releaseUs: number;
  /** Beat that the technician presses to; null: no press can be missed. */
  beatUs: number | null;
  /** How to tell steady, closed and open: as for a touch. */
  contact: ContactSettings;
}

/** One press of a key whose pads the tips stay on. */
export interface PressSummary {
  /** Steady closed resistance; null when the press never settled or was missed. */
  closedReading: Reading | null;
  /** From the first make to the last break before settling. */
  bounceUs: number;
  makes: number;
  /** From the first make to the last break. */
  heldUs: number;
  window: CaptureWindow | null;
  /** The beat passed without a closure. */
  missed: boolean;
}

/** A press ended (or was missed) at `tUs`. */
export interface PressEvent {
  kind: 'press';
  tUs: number;
  press: PressSummary;
}
