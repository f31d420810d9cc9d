import { frontEndTable } from '../../protocol/table.ts';
import { median } from '../../statistics/robust.ts';
import { defaultContactSettings } from '../contact/contact-settings.ts';
import type { HoldBucket } from '../contact/steady-hold.ts';
import { codeOfOhm, ohmOfCode, rangeCalibration } from '../reading/calibration.ts';
import type { Calibration, Level } from '../types.ts';

/**
 * Spread of a steady reading, in codes: 0.6 steps rms of noise beside rounding, summed over a
 * reading's conversions (common practice, no source).
 */
const noiseCodes = Math.sqrt(frontEndTable.sumOf * (0.6 ** 2 + 1 / 12));
/**
 * Of some thousand readings none is farther off than this by noise alone (1 in 150 000 of a normal
 * distribution).
 */
const noiseReach = 4.5;

/** How far a held path moved, in ohm, beyond what noise explains. */
export interface HoldSpan {
  minOhm: number;
  medianOhm: number;
  maxOhm: number;
  /** (max - min) / median, with a floor under the median. */
  wander: number;
}

/** Wandering below this many ohms is none: it lies in what a fine tip on a pad does. */
const floorOhm = defaultContactSettings.floorOhm;

/**
 * Returns the span of a hold's buckets; null when there is none, or one is of a range that the
 * calibration does not hold.
 */
export function holdSpan(buckets: readonly HoldBucket[], level: Level, calibration: Calibration): HoldSpan | null {
  const lows: number[] = [];
  const highs: number[] = [];
  const means: number[] = [];
  for (const { range, min, max, mean } of buckets) {
    const entry = rangeCalibration(calibration, range, level);
    if (entry === null) return null;
    const reach = Math.min(noiseReach * noiseCodes, (max - min) / 2);
    const end = codeOfOhm(10e6, entry);
    const ohm = (code: number): number => ohmOfCode(Math.min(code, end), entry) - calibration.leadOhm;
    lows.push(ohm(min + reach));
    highs.push(ohm(max - reach));
    means.push(ohm(mean));
  }
  if (means.length === 0) return null;
  const minOhm = Math.min(...lows);
  const maxOhm = Math.max(...highs);
  const medianOhm = median(means);
  const moved = maxOhm - minOhm;
  return { minOhm, medianOhm, maxOhm, wander: moved <= floorOhm ? 0 : moved / Math.max(Math.abs(medianOhm), floorOhm) };
}
