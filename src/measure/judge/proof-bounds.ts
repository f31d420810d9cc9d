import { frontEndTable } from '../../protocol/table.ts';
import { expectedUncertainty } from '../reading/expected-uncertainty.ts';
import type { Calibration } from '../types.ts';

/**
 * Share of the check resistor's value that a proved probe may be off by, where the calibration does
 * not know that resistor.
 */
const checkResistorShare = 0.05;
/**
 * Highest reading of tips held together, in ohm, without a calibration: leads and tip residue of a
 * four-wire probe stay well below.
 */
const shortedMaxOhm = 0.15;
/**
 * Bounds against a calibration lie this many standard uncertainties from what is expected. The rule
 * takes two of them as its guard band, so a sound probe passes unless it is off by three.
 */
const boundsAt = 5;

/**
 * Tips that a hand holds together touch with their sides too: what that leaves, standard
 * uncertainty in ohm; common practice, no source.
 */
const uTogetherOhm = 0.0015;

/** The rule by which a proof is decided. */
export const proofRule = { name: 'guarded', p: 0.975 } as const;

/** Returns the bounds that a proof has to meet under a calibration, in ohm. */
export function proofBounds(
  what: 'shorted-tips' | 'check-resistor',
  calibration: Calibration,
): { min: number; max: number } {
  const calibrated = calibration.source !== 'nominal';
  if (what === 'shorted-tips') {
    const reach = calibrated ? boundsAt * Math.hypot(expectedUncertainty(0, calibration), uTogetherOhm) : shortedMaxOhm;
    return { min: -reach, max: reach };
  }
  const { check } = calibration;
  if (!calibrated || check === undefined) {
    const nominal = frontEndTable.checkResistorOhm;
    return { min: nominal * (1 - checkResistorShare), max: nominal * (1 + checkResistorShare) };
  }
  const reach = boundsAt * Math.hypot(expectedUncertainty(check.ohm, calibration), check.uOhm);
  return { min: check.ohm - reach, max: check.ohm + reach };
}
