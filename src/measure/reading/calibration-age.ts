import type { Calibration, CalibrationDrift } from '../types.ts';

/** How old a calibration is, and what follows from it. */
export interface CalibrationAge {
  /** `nominal`: there is none. `undated`, `future`: its age can't be told. */
  state: 'nominal' | 'valid' | 'expired' | 'undated' | 'future';
  /** Whole days since its date; null where they can't be told. */
  ageDays: number | null;
  /** Days left until its date is past; negative after it; null without an end. */
  daysLeft: number | null;
}

const dayMs = 86_400_000;
/** Where a calibration states no validity, a year is taken. */
export const usualValidDays = 365;
/**
 * Thin-film resistors of 0.1 %: largest change in a year on the shelf and at small load; common
 * practice, no source.
 */
const ageingRelPerYear = 0.0005;
/**
 * Source resistors and gain resistors of 25 ppm/K (hardware.md); ratios of one network track
 * better, which is not relied on.
 */
const sourcePerK = 25e-6;
const spanPerK = 25e-6;
/**
 * The voltage channel is not ratiometric: reference 100 ppm/K beside its divider; common practice,
 * no source.
 */
const voltPerK = 100e-6;
/** Bench against bench, summer against winter, unless the temperature is known. */
const usualWithinK = 10;

/** Returns the age of a calibration at a time. */
export function calibrationAge(calibration: Calibration, nowMs: number): CalibrationAge {
  if (calibration.source === 'nominal') return { state: 'nominal', ageDays: null, daysLeft: null };
  // biome-ignore lint/style/noRestrictedGlobals: reads a given time from text, no clock
  const madeMs = calibration.dateIso === null ? Number.NaN : Date.parse(calibration.dateIso);
  if (Number.isNaN(madeMs)) return { state: 'undated', ageDays: null, daysLeft: null };
  // a day of grace: clocks of two machines, time zones set wrong
  if (madeMs > nowMs + dayMs) return { state: 'future', ageDays: null, daysLeft: null };
  const ageDays = Math.max(0, Math.floor((nowMs - madeMs) / dayMs));
  const { validDays } = calibration;
  const daysLeft = validDays === null ? null : validDays - ageDays;
  return { state: daysLeft !== null && daysLeft < 0 ? 'expired' : 'valid', ageDays, daysLeft };
}

/**
 * Returns the last day on which a calibration (or what else has a date and a validity) holds, as
 * YYYY-MM-DD; null without a date or an end.
 */
export function calibrationEnd({ dateIso, validDays }: Pick<Calibration, 'dateIso' | 'validDays'>): string | null {
  if (dateIso === null || validDays === null) return null;
  // biome-ignore lint/style/noRestrictedGlobals: calculates with a given time, reads no clock
  const madeMs = Date.parse(dateIso);
  if (Number.isNaN(madeMs)) return null;
  // biome-ignore lint/style/noRestrictedGlobals: writes a given time as text, reads no clock
  return new Date(madeMs + validDays * dayMs).toISOString().slice(0, 10);
}

/**
 * How a calibration is used. `withinK`: how far the probe may be from its temperature then, in
 * kelvin (default 10).
 */
export interface CalibrationUse {
  nowMs: number;
  temperatureC: number | null;
  withinK?: number;
}

/**
 * Returns a calibration as it is in force at a time: with what the probe may have changed by since.
 * Within its validity the ageing of the whole period is allowed for, so that it is one calibration
 * on each day; past its date (or undated) it has another id and the ageing of as many periods as
 * have begun, four at least where the age can't be told. The nominal calibration is returned as it
 * is.
 */
export function calibrationInUse(calibration: Calibration, use: CalibrationUse): Calibration {
  const { state, ageDays } = calibrationAge(calibration, use.nowMs);
  if (state === 'nominal') return calibration;
  const validDays = calibration.validDays ?? usualValidDays;
  const known = ageDays !== null;
  const periods = known ? Math.max(1, Math.ceil(ageDays / validDays)) : 4;
  const drift: CalibrationDrift = {
    temperatureC: use.temperatureC,
    withinK: use.withinK ?? usualWithinK,
    sourcePerK,
    spanPerK,
    voltPerK,
    periods: known ? periods : null,
    ageingRel: (ageingRelPerYear * ((validDays * periods) / 365)) / Math.sqrt(3),
  };
  const past = known ? (periods === 1 ? '' : `, ${periods} periods old`) : ', age unknown';
  return { ...calibration, id: `${calibration.id}${past}`, drift };
}
