import type { Measured } from '../../checks/evidence.ts';
import type { Limits } from '../../guide/types.ts';
import type { IsolationRules } from '../rules/isolation-rules.ts';
import { type ChannelCell, scaleOf } from '../suspects/scale.ts';
import { measuredSigma, spreadCdf } from './outcome-density.ts';

// A reading inside its limits says that it is inside them, and no more: a good device may read
// anything there. So it counts with the probability of lying inside, under each suspect alike, and
// never accuses by where inside it lies.

type Quantity = 'ohm' | 'volt';
type Touch = IsolationRules['touch'];

/** A reading counts as outside when it is so many of its standard uncertainties beyond a limit. */
const outsideSigmas = 2;

/** Returns whether a reading is not shown to be outside its limits. */
export function isInsideClass(quantity: Quantity, limits: Limits | null, { value, u, state }: Measured): boolean {
  if (limits === null || (limits.min === undefined && limits.max === undefined)) return false;
  const { min = Number.NEGATIVE_INFINITY, max = Number.POSITIVE_INFINITY } = limits;
  if (state === 'above-range') return max === Number.POSITIVE_INFINITY && (quantity === 'volt' || min <= value);
  if (state !== 'in-range') return false;
  return value >= min - outsideSigmas * u && value <= max + outsideSigmas * u;
}

/**
 * Returns the probability that a reading of this uncertainty is not shown to be outside, under a
 * cell.
 */
export function insideMass(
  quantity: Quantity,
  limits: Limits | null,
  cell: ChannelCell,
  measured: Measured,
  extraSigma: number,
): number {
  const [low, high] = endsOf(limits, measured);
  const sigmaAt = (end: number): number => Math.hypot(cell.sigma, measuredSigma(quantity, end, measured.u), extraSigma);
  const below = (end: number): number => spreadCdf(cell, scaleOf(quantity, end), sigmaAt(end));
  const above = high === Number.POSITIVE_INFINITY ? 1 : below(high);
  return Math.max(1e-12, above - (low === Number.NEGATIVE_INFINITY ? 0 : below(low)));
}

/** Returns the probability that tips on any other pads read inside the limits. */
export function chanceInside(touch: Touch, quantity: Quantity, limits: Limits | null): number {
  const { min = Number.NEGATIVE_INFINITY, max = Number.POSITIVE_INFINITY } = limits ?? {};
  if (quantity === 'volt') {
    const { wrongPadLowVolt: low, wrongPadHighVolt: high } = touch;
    return Math.max(0.001, (Math.min(high, max) - Math.max(low, min)) / (high - low));
  }
  const { wrongPadLowOhm: low, wrongPadHighOhm: high, wrongPadOpen } = touch;
  const [from, to] = [Math.max(low, min), Math.min(high, max)];
  const inside = to > from ? Math.log(to / from) / Math.log(high / low) : 0;
  return Math.max(0.001, (1 - wrongPadOpen) * inside + (max === Number.POSITIVE_INFINITY ? wrongPadOpen : 0));
}

/**
 * Returns whether two levels show no film: the dry reading is not shown to be above the guide's
 * factor.
 */
export function isFilmless(factor: number, dry: Measured, normal: Measured): boolean {
  if (normal.state === 'above-range') return true;
  if (dry.state !== 'in-range' || normal.state !== 'in-range') return false;
  return dry.value <= factor * normal.value + outsideSigmas * Math.hypot(dry.u, factor * normal.u);
}

/** Returns the probability of that under a cell of the dry level. */
export function filmlessMass(factor: number, atDry: ChannelCell, normal: Measured): number {
  const end = factor * Math.max(0, normal.value) + outsideSigmas * (1 + factor) * normal.u;
  return Math.max(1e-12, spreadCdf(atDry, scaleOf('ohm', end), atDry.sigma));
}

function endsOf(limits: Limits | null, { u }: Measured): [number, number] {
  const { min = Number.NEGATIVE_INFINITY, max = Number.POSITIVE_INFINITY } = limits ?? {};
  return [min - outsideSigmas * u, max + outsideSigmas * u];
}
