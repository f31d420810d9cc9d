// Written here and not taken from a package: the candidates were either accurate but 28 MB in 227 packages, or small
// but short of 1e-9 in the quantile. Algorithms: Digital Library of Mathematical Functions (DLMF), sections named below.

/** From so many degrees of freedom on, Student's t is taken as normal (the two differ by less than 2e-7 there). */
export const manyDof = 1_000_000;

/** Probability that a standard normal variable is at most `z`; relative error below 1e-12 in both tails. NaN gives NaN. */
export function normalCdf(z: number): number {
  const x = Math.abs(z) / Math.SQRT2;
  const tail = 0.5 * (x < 2 ? 1 - erfSeries(x) : erfcFraction(x));
  return z < 0 ? tail : 1 - tail;
}

/**
 * Probability that Student's t with `dof` degrees of freedom (may be fractional, > 0) is at most `t`.
 * `1 - I_x(dof/2, 1/2) / 2` with `x = dof / (dof + t^2)`, DLMF 8.17. Normal from `manyDof` on; NaN for dof <= 0.
 */
export function studentCdf(t: number, dof: number): number {
  if (!(dof > 0)) return Number.NaN;
  if (dof >= manyDof) return normalCdf(t);
  if (!Number.isFinite(t)) return t > 0 ? 1 : t < 0 ? 0 : Number.NaN;
  const tail = 0.5 * incompleteBeta(dof / (dof + t * t), (t * t) / (dof + t * t), dof / 2, 0.5);
  return t < 0 ? tail : 1 - tail;
}

/** Value that Student's t with `dof` degrees of freedom stays below with probability `p` (0 < p < 1, else NaN or infinite). */
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

/** Coverage factor k of a two-sided interval at `level` (0.95: 1.96 for many degrees of freedom). JCGM 100:2008, G.3. */
export function coverageFactor(level: number, dof: number): number {
  return -studentQuantile((1 - level) / 2, dof);
}

/**
 * Probability that a chi-square variable with `dof` degrees of freedom (> 0, may be fractional) is above `x`: Q(dof/2, x/2), DLMF 8.2.4.
 * 1 for x <= 0; NaN for dof <= 0. Relative error below 1e-10 also far out.
 */
export function chiSquareTail(x: number, dof: number): number {
  if (!(dof > 0) || Number.isNaN(x)) return Number.NaN;
  if (x <= 0) return 1;
  if (x === Number.POSITIVE_INFINITY) return 0;
  const a = dof / 2;
  const half = x / 2;
  const front = Math.exp(a * Math.log(half) - half - logGamma(a));
  return half < a + 1 ? 1 - front * gammaSeries(a, half) : front * gammaFraction(a, half);
}

/** P(a, x) / (x^a e^-x / Gamma(a)) for x < a + 1, DLMF 8.7.1 (all terms positive). */
function gammaSeries(a: number, x: number): number {
  let term = 1 / a;
  let sum = term;
  for (let n = 1; term > sum * 1e-17; n++) {
    term *= x / (a + n);
    sum += term;
  }
  return sum;
}

/** Q(a, x) / (x^a e^-x / Gamma(a)) for x >= a + 1, DLMF 8.9.2 by the modified Lentz method. */
function gammaFraction(a: number, x: number): number {
  let b = x + 1 - a;
  let c = Number.POSITIVE_INFINITY;
  let d = 1 / b;
  let fraction = d;
  for (let n = 1; n < 20_000; n++) {
    const numerator = -n * (n - a);
    b += 2;
    d = 1 / (b + numerator * d);
    c = b + numerator / c;
    fraction *= c * d;
    if (Math.abs(c * d - 1) < 1e-15) break;
  }
  return fraction;
}

/** erf for 0 <= x < 2, DLMF 7.6.2 (all terms positive, so nothing cancels). */
function erfSeries(x: number): number {
  let term = x;
  let sum = x;
  for (let n = 1; term > sum * 1e-17; n++) {
    term *= (2 * x * x) / (2 * n + 1);
    sum += term;
  }
  return ((2 * Math.exp(-x * x)) / Math.sqrt(Math.PI)) * sum;
}

/** erfc for x >= 2, DLMF 7.9.1 from the far end: 60 levels leave less than 1e-15. */
function erfcFraction(x: number): number {
  let below = x;
  for (let n = 60; n >= 1; n--) below = x + n / 2 / below;
  return Math.exp(-x * x) / Math.sqrt(Math.PI) / below;
}

/** Regularised incomplete beta I_x(a, b), DLMF 8.17.22 by the modified Lentz method; `rest` is 1 - x, given apart so that it does not cancel. */
function incompleteBeta(x: number, rest: number, a: number, b: number): number {
  if (x <= 0) return 0;
  if (rest <= 0) return 1;
  if (x > (a + 1) / (a + b + 2)) return 1 - incompleteBeta(rest, x, b, a);
  const front = Math.exp(logGamma(a + b) - logGamma(a) - logGamma(b) + a * logOf(x, rest) + b * logOf(rest, x));
  let c = 1;
  let d = 1 / (1 - ((a + b) * x) / (a + 1));
  let fraction = d;
  for (let m = 1; m < 20_000; m++) {
    const even = (m * (b - m) * x) / ((a + 2 * m - 1) * (a + 2 * m));
    d = 1 / (1 + even * d);
    c = 1 + even / c;
    fraction *= d * c;
    const odd = (-(a + m) * (a + b + m) * x) / ((a + 2 * m) * (a + 2 * m + 1));
    d = 1 / (1 + odd * d);
    c = 1 + odd / c;
    fraction *= d * c;
    if (Math.abs(d * c - 1) < 1e-15) break;
  }
  return (front * fraction) / a;
}

/** ln(x) where x + rest = 1: keeps its digits for x near 1. */
function logOf(x: number, rest: number): number {
  return x > 0.5 ? Math.log1p(-rest) : Math.log(x);
}

/** ln of the gamma function for x > 0: Stirling's series (DLMF 5.11.1) after shifting x above 10 by the recurrence (5.5.1). */
function logGamma(x: number): number {
  let shift = 0;
  let y = x;
  while (y < 10) {
    shift += Math.log(y);
    y += 1;
  }
  const r = 1 / (y * y);
  const series = (1 / 12 - r * (1 / 360 - r * (1 / 1260 - r * (1 / 1680 - r * (1 / 1188 - (r * 691) / 360360))))) / y;
  return (y - 0.5) * Math.log(y) - y + 0.5 * Math.log(2 * Math.PI) + series - shift;
}
