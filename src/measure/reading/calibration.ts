import { rangeTable } from '../../protocol/table.ts';
import type { Calibration, Level, RangeCalibration } from '../types.ts';
import { fullScaleCode } from './nominal.ts';

/**
 * Codes this close to the converter's end may hold clipped conversions: ten steps of a single
 * conversion.
 */
export const clipMargin = 10 * 16;
/**
 * Share of the open level up to which the lower ranges are trusted; above it the firmware changes
 * range upward.
 */
const lowerRangeEnd = 0.95;
/**
 * The top range is trusted to 10 Mohm, ten times its source resistor: from there on one code is
 * more than 0.1 % of the value.
 */
const topRangeEndOhm = 10e6;
/** The voltage channel is trusted to this magnitude; its converter ends at 20 V. */
const voltageEnd = 19.9;
const topRange = rangeTable.at(-1)!.id;

/** Returns the entry for a range and level, or null when the calibration does not hold it. */
export function rangeCalibration(calibration: Calibration, range: number, level: Level): RangeCalibration | null {
  return calibration.ranges.find((entry) => entry.range === range && entry.level === level) ?? null;
}

/** Resistance in ohm (lead included) with its partial derivatives by code, nOff, nOpen and rs. */
export interface OhmWithPartials {
  ohm: number;
  byCode: number;
  byOff: number;
  byOpen: number;
  byRs: number;
}

/**
 * Returns R = rs (N - nOff) / (nOpen - N) in ohm, lead included; Infinity at or above the open
 * code. NaN gives NaN.
 */
export function ohmOfCode(code: number, entry: RangeCalibration): number {
  if (code >= entry.nOpen) return Number.POSITIVE_INFINITY;
  return (entry.rsOhm * (code - entry.nOff)) / (entry.nOpen - code);
}

/**
 * Returns the resistance of a code below nOpen and how it changes with each input of the measuring
 * equation (JCGM 100:2008, 5.1.3).
 */
export function ohmWithPartials(code: number, entry: RangeCalibration): OhmWithPartials {
  const above = code - entry.nOff;
  const below = entry.nOpen - code;
  return {
    ohm: (entry.rsOhm * above) / below,
    byCode: (entry.rsOhm * (entry.nOpen - entry.nOff)) / (below * below),
    byOff: -entry.rsOhm / below,
    byOpen: (-entry.rsOhm * above) / (below * below),
    byRs: above / below,
  };
}

/**
 * Returns the code that a resistance in ohm (lead included) gives: the measuring equation itself.
 * Infinity gives nOpen.
 */
export function codeOfOhm(ohm: number, entry: RangeCalibration): number {
  const share = ohm === Number.POSITIVE_INFINITY ? 1 : ohm / (ohm + entry.rsOhm);
  return entry.nOff + (entry.nOpen - entry.nOff) * share;
}

/** Returns the largest code that a range is trusted at. */
export function endCode(entry: RangeCalibration): number {
  if (entry.range === topRange) return codeOfOhm(topRangeEndOhm, entry);
  return Math.min(entry.nOff + (entry.nOpen - entry.nOff) * lowerRangeEnd, fullScaleCode - clipMargin);
}

/**
 * Returns the largest resistance in ohm that a range can measure: 10 Mohm on the top range, where
 * the converter ends on range 0.
 */
export function rangeEndOhm(entry: RangeCalibration): number {
  return entry.range === topRange ? topRangeEndOhm : ohmOfCode(endCode(entry), entry);
}

/** Returns the largest voltage, of either sign, that the probe can measure. */
export function rangeEndVolt(): number {
  return voltageEnd;
}
