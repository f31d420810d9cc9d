import { normalCdf, solveRising } from './distribution.ts';
import { integrate } from './quadrature.ts';
import { logGamma } from './special-functions.ts';

/**
 * Probability that the noncentral t with `dof` degrees of freedom (>= 1) and noncentrality `delta`
 * is at most `t`.
 *
 * T = (Z + delta) / S with Z standard normal and S = sqrt(chi-square / dof), so P(T <= t) is the
 * mean of Phi(t S - delta) over S (the definition; ISO 16269-6:2014, annex on the noncentral t).
 * Integrated over where S lives; absolute error below 1e-10. NaN for dof below 1.
 */
export function noncentralTCdf(t: number, dof: number, delta: number): number {
  if (!(dof >= 1)) return Number.NaN;
  const logFront = Math.log(2) + (dof / 2) * Math.log(dof / 2) - logGamma(dof / 2);
  const density = (s: number): number =>
    s <= 0 ? 0 : Math.exp(logFront + (dof - 1) * Math.log(s) - (dof * s * s) / 2);
  // S has mean near 1 and standard deviation near 1 / sqrt(2 dof): nine of them leave less than
  // 1e-16 outside
  const reach = 9 / Math.sqrt(2 * dof);
  const low = Math.max(0, 1 - reach);
  const high = 1 + reach;
  // the step of Phi is 1 / |t| wide: a panel holds two of them at most
  const panels = Math.min(400, 8 + Math.ceil(((high - low) * Math.abs(t)) / 2));
  return integrate((s) => normalCdf(t * s - delta) * density(s), low, high, panels);
}

/**
 * Value that the noncentral t with `dof` degrees of freedom and noncentrality `delta` stays below
 * with probability `p` (0 < p < 1).
 */
export function noncentralTQuantile(p: number, dof: number, delta: number): number {
  if (!(p > 0 && p < 1) || !(dof >= 1)) return Number.NaN;
  const shift = 1 + Math.abs(delta);
  let low = -shift;
  while (noncentralTCdf(low, dof, delta) > p) low *= 2;
  return solveRising((t) => noncentralTCdf(t, dof, delta), p, low, shift);
}
