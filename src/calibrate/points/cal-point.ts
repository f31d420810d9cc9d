import type { CalibrationLevel } from '../../protocol/calibration-block.ts';

/**
 * What was at the tips. Resistors in ohm with their standard uncertainty: `uOhm` is each resistor's
 * own part, `uCommonRel` the relative part that all of one set share (one reference stood behind
 * all of them), so it does not average out. Volts with their standard uncertainty.
 */
export type Standard =
  | { kind: 'short' }
  | { kind: 'open' }
  | { kind: 'resistor'; ohm: number; uOhm: number; uCommonRel: number; name?: string }
  | { kind: 'volt'; volt: number; uVolt: number };

/**
 * One steady touch on a standard: the mean code of `n` readings on one range, with the standard
 * uncertainty of that mean.
 */
export interface CalPoint {
  range: number;
  level: CalibrationLevel;
  standard: Standard;
  code: number;
  uCode: number;
  n: number;
}

/** Returns what tells standards apart: the same text for two touches on the same standard. */
export function standardKey(standard: Standard): string {
  switch (standard.kind) {
    case 'resistor':
      return `resistor ${standard.name ?? ''} ${standard.ohm}`;
    case 'volt':
      return `volt ${standard.volt}`;
    default:
      return standard.kind;
  }
}

/**
 * Returns the stated resistance of a standard between the tips: 0 of a short, Infinity of an open,
 * NaN of a voltage.
 */
export function standardOhm(standard: Standard): number {
  switch (standard.kind) {
    case 'short':
      return 0;
    case 'open':
      return Number.POSITIVE_INFINITY;
    case 'resistor':
      return standard.ohm;
    case 'volt':
      return Number.NaN;
  }
}
