import type { CaptureWindow } from '../types.ts';

/**
 * Share of a touch's readings that may be lost before nothing is decided on it (a choice of this
 * program, no source): a bounce or a drop-out among more than that would not be seen.
 */
const mostLostShare = 0.1;

/**
 * Returns whether too many readings of a touch were lost for its outcome to be relied on.
 *
 * @param lost readings known to be missing from the touch; infinite: how many is not known
 * @param touchUs length of the touch, in microseconds
 * @param periodUs time of one reading, in microseconds
 */
export function isTooMuchLost(lost: number, touchUs: number, periodUs: number): boolean {
  return lost > (mostLostShare * touchUs) / periodUs;
}

/**
 * Returns from when to when windows reach, in microseconds of the probe's clock, and the time of one
 * reading; null without a window. A run of presses is held to it, for it has no single touch.
 */
export function extentOf(
  windows: readonly CaptureWindow[],
): { fromUs: number; untilUs: number; periodUs: number } | null {
  const [first] = windows;
  if (first === undefined) return null;
  const ends = windows.map(({ tUs, periodUs, codes }) => tUs + codes.length * periodUs);
  return { fromUs: Math.min(...windows.map(({ tUs }) => tUs)), untilUs: Math.max(...ends), periodUs: first.periodUs };
}
