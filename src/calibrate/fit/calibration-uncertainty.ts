import { codeOfOhm, ohmWithPartials } from '../../measure/reading/calibration.ts';
import type { RangeCalibration } from '../../measure/types.ts';

/**
 * What a calibration alone leaves unknown of a reading: the whole, and the part that all readings
 * with this resistor set share. In ohm, k = 1.
 */
export interface CalibrationUncertainty {
  ohm: number;
  uOhm: number;
  uCommonOhm: number;
}

/**
 * Returns the standard uncertainty in ohm that the parameters of a range leave in a reading of
 * `ohm` (JCGM 100:2008, 5.2.2, with their covariance).
 */
export function uCalibrationOhm(ohm: number, entry: RangeCalibration): number {
  const { byOff, byOpen, byRs } = ohmWithPartials(codeOfOhm(ohm, entry), entry);
  const [offOff, offOpen, offRs, openOpen, openRs, rsRs] = entry.cov;
  const variance =
    byOff * byOff * offOff +
    byOpen * byOpen * openOpen +
    byRs * byRs * rsRs +
    2 * (byOff * byOpen * offOpen + byOff * byRs * offRs + byOpen * byRs * openRs);
  return Math.sqrt(Math.max(0, variance));
}

/** Returns that at several values; the common part moves every value by the same share. */
export function calibrationBudget(
  fit: RangeCalibration & { uCommonRel: number },
  ohms: readonly number[],
): CalibrationUncertainty[] {
  return ohms.map((ohm) => ({ ohm, uOhm: uCalibrationOhm(ohm, fit), uCommonOhm: ohm * fit.uCommonRel }));
}
