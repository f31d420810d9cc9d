import { decide } from '../measure/judge/decide.ts';
import { readWindow } from '../measure/reading/read-window.ts';
import type { Calibration, CaptureWindow, Decision, Limits, Reading, Rule } from '../measure/types.ts';

/**
 * A captured window, and what it reads where that was worked out already; absent: it is worked out
 * from the codes.
 */
export interface ReadWindow {
  window: CaptureWindow;
  reading?: Reading;
}

/** Everything that the outcome of one window rests on. */
export interface RawReading extends ReadWindow {
  calibration: Calibration;
  limits: Limits;
  rule: Rule;
}

/** Returns what a captured window reads. */
export function readingOf({ window, reading }: ReadWindow, calibration: Calibration): Reading {
  return reading ?? readWindow(window, calibration);
}

/** Returns what a captured window reads and what that comes to against its limits. */
export function judgeReading(raw: RawReading): Decision & { reading: Reading } {
  const reading = readingOf(raw, raw.calibration);
  return { reading, ...decide(reading, raw.limits, raw.rule) };
}
