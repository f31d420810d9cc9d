import { standardOhm } from '../../calibrate/points/cal-point.ts';
import { formatQuantity, formatReading } from '../../measure/reading/format.ts';
import type { Reading } from '../../measure/types.ts';
import type { CalibrationState, StandardState } from './calibration-state.ts';

/**
 * A touch further off the standard asked for than this many standard uncertainties is asked for
 * again.
 */
const strangeAt = 5;
/** Two touches on the same wrong part agree to this share. */
const sameShare = 0.02;

/** Returns in words what is strange about the first reading of a standard, or null. */
export function strangeReading({ standard, label }: StandardState, reading: Reading): string | null {
  if (standard.kind === 'open' || reading.quantity !== 'resistance') return null;
  const ohm = standardOhm(standard);
  const { uOhm, uCommonRel } = standard.kind === 'resistor' ? standard : { uOhm: 0.02, uCommonRel: 0 };
  const u = Math.hypot(reading.u, uOhm, uCommonRel * ohm);
  if (reading.state === 'in-range' && Math.abs(reading.value - ohm) <= strangeAt * u) return null;
  const wanted = standard.kind === 'short' ? 'tips held together' : `${label} (${formatQuantity(ohm, 'resistance')})`;
  return `That reads ${formatReading(reading)}, which is not ${wanted}.`;
}

/** Returns whether a doubted reading has come a second time: it is meant. */
export function isSameAgain({ refused }: CalibrationState, hand: StandardState, reading: Reading): boolean {
  return refused?.id === hand.id && Math.abs(reading.value - refused.ohm) <= sameShare * Math.abs(refused.ohm);
}
