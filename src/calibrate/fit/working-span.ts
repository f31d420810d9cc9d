import { rangeEndOhm } from '../../measure/reading/calibration.ts';
import { nominalCalibration } from '../../measure/reading/nominal.ts';
import type { Level, RangeCalibration } from '../../measure/types.ts';

/** Nothing below this is told apart from shorted tips, in ohm. */
const leastOhm = 0.005;

/**
 * Returns the resistances in ohm that a range is there for: from where the range below leaves off
 * to half-way (by ratio) to the next source resistor, where both are equally good; null for a range
 * or level that the probe does not have.
 */
export function workingSpanOhm(range: number, level: Level): { least: number; most: number } | null {
  const ranges = nominalCalibration.ranges.filter((entry) => entry.level === level);
  const at = ranges.findIndex((entry) => entry.range === range);
  const own = ranges[at];
  if (own === undefined) return null;
  return { least: at === 0 ? leastOhm : upperOhm(ranges[at - 1]!, own), most: upperOhm(own, ranges[at + 1]) };
}

function upperOhm(own: RangeCalibration, next: RangeCalibration | undefined): number {
  const end = rangeEndOhm(own);
  // two ranges on one source resistor differ by their gain: the lower is used up to its end
  return next === undefined || next.rsOhm < 2 * own.rsOhm ? end : Math.min(end, Math.sqrt(own.rsOhm * next.rsOhm));
}

/** Returns `count` resistances over a span, evenly spaced by ratio, both ends included. */
export function spreadOver({ least, most }: { least: number; most: number }, count: number): number[] {
  return Array.from({ length: count }, (_, i) => least * (most / least) ** (i / (count - 1)));
}
