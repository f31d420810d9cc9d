import { probeEndOhm } from '../../checks/circuit-reading.ts';
import type { Limits } from '../../guide/types.ts';
import { spreadCdf } from '../belief/outcome-density.ts';
import { type ChannelCell, scaleOf } from '../suspects/scale.ts';

/**
 * Returns the chance that a press changes what the tips see enough to be counted: to a tenth, or
 * out of the probe's range.
 */
export function isClosure(closed: ChannelCell, released: ChannelCell): number {
  const least = Math.min(scaleOf('ohm', probeEndOhm), (closed.low + closed.high) / 2 + Math.LN10);
  return 1 - spreadCdf(released, least, Math.hypot(released.sigma, closed.sigma));
}

/** Returns the chance that a resistance lies outside limits. */
export function outsideChance(cell: ChannelCell, { min, max }: Limits): number {
  const below = min === undefined ? 0 : spreadCdf(cell, scaleOf('ohm', min), cell.sigma);
  const above = max === undefined ? 0 : 1 - spreadCdf(cell, scaleOf('ohm', max), cell.sigma);
  return Math.min(1, below + above);
}

/**
 * Returns the probability of `bad` out of `count` where the chance of each is itself uncertain:
 * beta with mean `mean` and `weight` as the sum of its parameters, so that presses of one key are
 * alike.
 */
export function betaBinomial(bad: number, count: number, mean: number, weight: number): number {
  const [a, b] = [mean * weight, (1 - mean) * weight];
  let p = 1;
  // rising factorials: C(n,k) a^(k) b^(n-k) / (a+b)^(n)
  for (let k = 0; k < bad; k++) p *= ((count - k) / (bad - k)) * ((a + k) / (a + b + k));
  for (let k = 0; k < count - bad; k++) p *= (b + k) / (a + b + bad + k);
  return p;
}
