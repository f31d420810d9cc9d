import type { Measured } from '../../checks/evidence.ts';
import { bell, quickCdf, quickRamp } from '../../statistics/distributions/normal-table.ts';
import type { IsolationRules } from '../rules/isolation-rules.ts';
import { type ChannelCell, scaleOf, scaleOhm } from '../suspects/scale.ts';

/**
 * Returns the density (above range: the mass) of a measured value under a cell, on the scale; 1 for
 * what says nothing.
 */
export function densityOf(quantity: 'ohm' | 'volt', cell: ChannelCell, measured: Measured, extraSigma = 0): number {
  const { value, u, state } = measured;
  if (state === 'above-range') return 1 - spreadCdf(cell, scaleOf(quantity, value), cell.sigma);
  if (state !== 'in-range') return 1;
  const sigma = Math.hypot(cell.sigma, measuredSigma(quantity, value, u), extraSigma);
  const y = scaleOf(quantity, value);
  const width = cell.high - cell.low;
  if (width < 1e-3 * sigma) return bell((y - cell.low) / sigma) / sigma;
  return (quickCdf((y - cell.low) / sigma) - quickCdf((y - cell.high) / sigma)) / width;
}

/**
 * Returns the density (or mass) of a measured value with the tips on any other pads; 1 for what
 * says nothing.
 */
export function chanceDensity(touch: IsolationRules['touch'], quantity: 'ohm' | 'volt', { state }: Measured): number {
  if (state === 'above-range') return quantity === 'ohm' ? touch.wrongPadOpen : 0.01;
  if (state !== 'in-range') return 1;
  return quantity === 'ohm'
    ? (1 - touch.wrongPadOpen) / Math.log(touch.wrongPadHighOhm / touch.wrongPadLowOhm)
    : 1 / (touch.wrongPadHighVolt - touch.wrongPadLowVolt);
}

/** Returns a reading's own standard uncertainty on the scale. */
export function measuredSigma(quantity: 'ohm' | 'volt', value: number, u: number): number {
  return quantity === 'volt' ? u : u / (Math.max(0, value) + scaleOhm);
}

/**
 * Returns the probability that a cell's value lies below a point of the scale: an even spread from
 * low to high, blurred by `sigma`.
 */
export function spreadCdf({ low, high }: Pick<ChannelCell, 'low' | 'high'>, y: number, sigma: number): number {
  const width = high - low;
  if (width < 1e-3 * sigma) return quickCdf((y - (low + high) / 2) / sigma);
  return Math.min(1, Math.max(0, (sigma / width) * (quickRamp((y - low) / sigma) - quickRamp((y - high) / sigma))));
}
