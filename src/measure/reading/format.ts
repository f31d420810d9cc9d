import { coverageFactor } from '../../statistics/distributions/distribution.ts';
import type { Limits, Quantity, Reading } from '../types.ts';

/** Below one ohm the unit stays ohm: `mohm` and `Mohm` are one slip of a key apart. */
const ohmSteps = [
  { from: 1e9, name: 'Gohm' },
  { from: 1e6, name: 'Mohm' },
  { from: 1e3, name: 'kohm' },
  { from: 1, name: 'ohm' },
] as const;

/**
 * Expanded uncertainty U = k u for 95 % coverage, k from Student's t (JCGM 100:2008, G.3.2). In ohm
 * or volt.
 */
export function expandedUncertainty(reading: Reading): number {
  return coverageFactor(0.95, reading.dof) * reading.u;
}

/**
 * Returns a reading as people write it: as many digits as its uncertainty allows, its unit and its
 * expanded uncertainty (95 %), as in `0.43 ohm +/- 0.06 ohm`, `> 10 Mohm (open)`, `< 0 ohm (below
 * range)`. ASCII only. U is rounded up to one digit, two if it begins with a 1 (JCGM 100:2008,
 * 7.2.6: at most two).
 */
export function formatReading(reading: Reading): string {
  const { quantity, value, rangeEnd, state } = reading;
  if (state === 'unreadable') return 'no reading';
  if (state === 'above-range') {
    return `> ${formatQuantity(rangeEnd, quantity)} (${quantity === 'resistance' ? 'open' : 'above range'})`;
  }
  if (state === 'below-range') {
    return `< ${formatQuantity(quantity === 'resistance' ? 0 : -rangeEnd, quantity)} (below range)`;
  }
  const { shown, expanded } = rounded(value, expandedUncertainty(reading), quantity);
  return `${shown} +/- ${expanded}`;
}

/**
 * Returns a number of ohms or volts with its unit, to the digits that its expanded uncertainty
 * allows: `0.43 ohm`.
 */
export function formatRounded(value: number, expanded: number, quantity: Quantity): string {
  return rounded(value, expanded, quantity).shown;
}

function rounded(value: number, expanded: number, quantity: Quantity): { shown: string; expanded: string } {
  const { factor, unit } = unitOf(Math.max(Math.abs(value), expanded), quantity);
  const { rounded: up, place } = roundUp(expanded / factor);
  const decimals = Math.min(9, Math.max(0, -place));
  const tens = 10 ** Math.max(0, place);
  const toPlace = place > 0 ? Math.round(value / factor / tens) * tens : value / factor;
  const shown = toPlace.toFixed(decimals).replace(/^-(0(?:\.0*)?)$/, '$1');
  return { shown: `${shown} ${unit}`, expanded: `${up.toFixed(decimals)} ${unit}` };
}

/**
 * Returns a number of ohms or volts with its unit, to so many digits (four by default): `2 ohm`,
 * `1.5 Mohm`, `0.03 ohm`, `3.3 V`. Rounded before its unit is chosen. An endless resistance is
 * `open`. ASCII only.
 */
export function formatQuantity(value: number, quantity: Quantity, digits = 4): string {
  if (quantity === 'resistance' && value === Number.POSITIVE_INFINITY) return 'open';
  const rounded = Number(value.toPrecision(digits));
  const { factor, unit } = unitOf(Math.abs(rounded), quantity);
  return `${Number((rounded / factor).toPrecision(digits))} ${unit}`;
}

/**
 * Returns limits as people write them: `at most 2 ohm`, `at least 1 Mohm`, `0.2 ohm .. 0.6 ohm`.
 */
export function formatLimits(limits: Limits): string {
  const { min, max, quantity } = limits;
  if (min !== undefined && max !== undefined) {
    return `${formatQuantity(min, quantity)} .. ${formatQuantity(max, quantity)}`;
  }
  if (max !== undefined) return `at most ${formatQuantity(max, quantity)}`;
  return min === undefined ? 'no limit' : `at least ${formatQuantity(min, quantity)}`;
}

function unitOf(magnitude: number, quantity: Quantity): { factor: number; unit: string } {
  if (quantity === 'voltage') return { factor: 1, unit: 'V' };
  const step = ohmSteps.find(({ from }) => magnitude >= from) ?? ohmSteps[3];
  return { factor: step.from, unit: step.name };
}

/**
 * Rounds U up to one digit, two if it begins with a 1; `place` is the power of ten of the last
 * digit.
 */
function roundUp(expanded: number): { rounded: number; place: number } {
  if (!(expanded > 0)) return { rounded: 0, place: -4 };
  const exponent = Math.floor(Math.log10(expanded));
  // the small allowance keeps 0.06 from becoming 0.07 by binary rounding
  const upTo = (place: number): number => Math.ceil(expanded / 10 ** place - 1e-9);
  const two = upTo(exponent - 1);
  const place = two < 20 ? exponent - 1 : exponent;
  return { rounded: (two < 20 ? two : upTo(exponent)) * 10 ** place, place };
}
