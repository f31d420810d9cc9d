import type { Measured } from '../../checks/evidence.ts';
import type { Check } from '../../guide/types.ts';
import { formatLimits, formatQuantity, formatRounded } from '../../measure/reading/format.ts';
import type { Quantity } from '../../measure/types.ts';

/** Returns whether a reading is a value or a bound; anything else tells no value. */
export function isValue({ state }: Measured): boolean {
  return state === 'in-range' || state === 'above-range';
}

/** Returns what a check's limits want, behind what was read. */
export function wanted(check: Check): string {
  return 'limits' in check ? `, where ${formatLimits(check.limits)} is right` : '';
}

/** Returns a reading to the digits that two standard uncertainties, about 95 %, allow. */
export function measuredWords({ value, u, state }: Measured, quantity: Quantity): string {
  if (state === 'above-range') return quantity === 'resistance' ? 'open' : `above ${formatQuantity(value, quantity)}`;
  if (state === 'unreadable') return 'nothing readable';
  return u > 0 ? formatRounded(value, 2 * u, quantity) : formatQuantity(value, quantity);
}
