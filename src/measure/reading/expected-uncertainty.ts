import type { Calibration, CaptureWindow, Level, RangeCalibration } from '../types.ts';
import { codeOfOhm } from './calibration.ts';
import { readWindow } from './read-window.ts';

/** Readings of a settled window at the standard rate (24 ms). */
const usualReadings = 27;
/**
 * Deviations that a quiet converter shows beside its rounding, in codes: the usual spread of a
 * reading, two values one spread either way.
 */
const usualSpreadCode = 2;

/**
 * The firmware leaves a range downwards when a reading lies less than this many codes above the
 * zero (protocol.md, 7).
 */
const leavesBelowCodes = 960;

/**
 * Returns the range that the firmware comes to rest on with a fresh touch, coming down from the
 * top: null where the calibration holds none of the level.
 */
export function usualRange(ohm: number, calibration: Calibration, level: Level = 'normal'): RangeCalibration | null {
  const offered = calibration.ranges.filter((entry) => entry.level === level).sort((a, b) => b.range - a.range);
  const stays = offered.find((entry) => codeOfOhm(ohm, entry) >= entry.nOff + leavesBelowCodes);
  return stays ?? offered.at(-1) ?? null;
}

/**
 * Returns the standard uncertainty, in ohm, that a settled touch on a resistance has under a
 * calibration; Infinity where the calibration holds no range.
 */
export function expectedUncertainty(ohm: number, calibration: Calibration, range?: RangeCalibration): number {
  const entry = range ?? usualRange(ohm, calibration);
  if (entry === null) return Number.POSITIVE_INFINITY;
  return readWindow(expectedWindow(ohm, entry, calibration), calibration).u;
}

function expectedWindow(ohm: number, entry: RangeCalibration, { leadOhm }: Calibration): CaptureWindow {
  const code = codeOfOhm(ohm + leadOhm, entry);
  const codes = Array.from({ length: usualReadings }, (_, i) => code + usualSpreadCode * (1 - (i % 3)));
  const { range, level } = entry;
  return { tUs: 0, periodUs: 884, range, level, flagBits: 0, codes };
}
