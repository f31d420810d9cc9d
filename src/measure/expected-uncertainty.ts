import { codeOfOhm, rangeEndOhm } from './calibration.ts';
import { readWindow } from './read-window.ts';
import type { Calibration, CaptureWindow, RangeCalibration } from './types.ts';

/** Readings of a settled window at the standard rate (24 ms). */
const usualReadings = 27;
/** Deviations that a quiet converter shows beside its rounding, in codes: the usual spread of a reading, two values one spread either way. */
const usualSpreadCode = 2;

/** Returns the range at the normal level that the firmware reads a resistance on: the lowest that reaches it; null when none does. */
export function usualRange(ohm: number, calibration: Calibration): RangeCalibration | null {
  const reaching = calibration.ranges.filter((entry) => entry.level === 'normal' && rangeEndOhm(entry) > ohm);
  return reaching.sort((a, b) => rangeEndOhm(a) - rangeEndOhm(b))[0] ?? null;
}

/** Returns the standard uncertainty, in ohm, that a settled touch on a resistance has under a calibration; Infinity where no range reaches it. */
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
