import { erfcFraction, erfSeries, incompleteBeta, upperGamma } from './special-functions.ts';

// Written here and not taken from a package: the candidates were either accurate but 28 MB in 227
// packages, or small but short of 1e-9 in the quantile. Algorithms: Digital Library of Mathematical
// Functions (DLMF), sections named below.

/**
 * From so many degrees of freedom on, Student's t is taken as normal (the two differ by less than
 * 2e-7 there).
 */
export const manyDof = 1_000_000;

/**
 * Probability that a standard normal variable is at most `z`; relative error below 1e-12 in both
 * tails. NaN gives NaN.
 */
export function normalCdf(z: number): number {
  const x = Math.abs(z) / Math.SQRT2;
  const tail = 0.5 * (x < 2 ? 1 - erfSeries(x) : erfcFraction(x));
  return z < 0 ? tail : 1 - tail;
}

/**
 * Probability that Student's t with `dof` degrees of freedom (may be fractional, > 0) is at most
 * `t`. `1 - I_x(dof/2, 1/2) / 2` with `x = dof / (dof + t^2)`, DLMF 8.17. Normal from `manyDof` on;
 * NaN for dof <= 0.
 */
export function studentCdf(t: number, dof: number): number {
  if (!(dof > 0)) return Number.NaN;
  if (dof >= manyDof) return normalCdf(t);
  if (!Number.isFinite(t)) return t > 0 ? 1 : t < 0 ? 0 : Number.NaN;
  const tail = 0.5 * incompleteBeta(dof / (dof + t * t), (t * t) / (dof + t * t), dof / 2, 0.5);
  return t < 0 ? tail : 1 - tail;
}

/**
 * Value that Student's t with `dof` degrees of freedom stays below with probability `p` (0 < p < 1,
 * else NaN or infinite).
 */
export function studentQuantile(p: number, dof: number): number {
  if (!(p >= 0 && p <= 1) || !(dof > 0)) return Number.NaN;
  if (p === 0.5) return 0;
  if (p > 0.5) return -studentQuantile(1 - p, dof);
  if (p === 0) return Number.NEGATIVE_INFINITY;
  let low = -1;
  while (studentCdf(low, dof) > p) low *= 2;
  let high = low === -1 ? 0 : low / 2;
  // bisection: 60 halvings reach the last bits, and nothing here is called per reading
  for (let i = 0; i < 60; i++) {
    const middle = (low + high) / 2;
    if (studentCdf(middle, dof) > p) high = middle;
    else low = middle;
  }
  return (low + high) / 2;
}

/**
 * Coverage factor k of a two-sided interval at `level` (0.95: 1.96 for many degrees of freedom).
 * JCGM 100:2008, G.3.
 */
export function coverageFactor(level: number, dof: number): number {
  return -studentQuantile((1 - level) / 2, dof);
}

/**
 * Probability that a chi-square variable with `dof` degrees of freedom (> 0, may be fractional) is
 * above `x`: Q(dof/2, x/2), DLMF 8.2.4. 1 for x <= 0; NaN for dof <= 0. Relative error below 1e-10
 * also far out.
 */
export function chiSquareTail(x: number, dof: number): number {
  if (!(dof > 0) || Number.isNaN(x)) return Number.NaN;
  return upperGamma(dof / 2, x / 2);
}

/**
 * Value that a standard normal variable stays below with probability `p`: -Infinity at 0, Infinity
 * at 1, NaN outside.
 */
export function normalQuantile(p: number): number {
  return studentQuantile(p, manyDof);
}

/**
 * Probability that chi-square with `dof` degrees of freedom (> 0, may be fractional) is at most
 * `x`: the regularised lower incomplete gamma function P(dof/2, x/2), DLMF 8.2.4. NaN for dof <= 0.
 */
export function chiSquareCdf(x: number, dof: number): number {
  return 1 - chiSquareTail(x, dof);
}

/**
 * Value that chi-square with `dof` degrees of freedom stays below with probability `p`: 0 at 0,
 * Infinity at 1, NaN outside.
 */
export function chiSquareQuantile(p: number, dof: number): number {
  if (!(p >= 0 && p <= 1) || !(dof > 0)) return Number.NaN;
  if (p === 0) return 0;
  if (p === 1) return Number.POSITIVE_INFINITY;
  return solveRising((x) => chiSquareCdf(x, dof), p, 0, dof);
}

/**
 * Returns where a rising function takes a value, to about 14 digits: by false position (Illinois
 * rule) with every third step a bisection, between `low` and `low + span`; the span is doubled
 * until it holds the place.
 */
export function solveRising(rising: (x: number) => number, value: number, low: number, span: number): number {
  let below = low;
  let width = span;
  let overAbove = rising(below + width) - value;
  while (overAbove < 0 && Number.isFinite(width)) {
    below += width;
    width *= 2;
    overAbove = rising(below + width) - value;
  }
  let above = below + width;
  let overBelow = rising(below) - value;
  let kept = 0;
  for (let i = 0; i < 200 && above - below > 1e-14 * Math.max(Math.abs(below), Math.abs(above)); i++) {
    const straight = (below * overAbove - above * overBelow) / (overAbove - overBelow);
    const x = i % 3 < 2 && straight > below && straight < above ? straight : (below + above) / 2;
    if (x === below || x === above) break;
    const over = rising(x) - value;
    if (over === 0) return x;
    if (over < 0) {
      below = x;
      overBelow = over;
      // an end that stays twice is given half its weight, so that it moves as well
      if (kept > 0) overAbove /= 2;
      kept = 1;
    } else {
      above = x;
      overAbove = over;
      if (kept < 0) overBelow /= 2;
      kept = -1;
    }
  }
  return (below + above) / 2;
}
