// Special functions behind the distributions, after the Digital Library of Mathematical Functions
// (DLMF), sections named below.

/** erf for 0 <= x < 2, DLMF 7.6.2 (all terms positive, so nothing cancels). */
export function erfSeries(x: number): number {
  let term = x;
  let sum = x;
  for (let n = 1; term > sum * 1e-17; n++) {
    term *= (2 * x * x) / (2 * n + 1);
    sum += term;
  }
  return ((2 * Math.exp(-x * x)) / Math.sqrt(Math.PI)) * sum;
}

/** erfc for x >= 2, DLMF 7.9.1 from the far end: 60 levels leave less than 1e-15. */
export function erfcFraction(x: number): number {
  let below = x;
  for (let n = 60; n >= 1; n--) below = x + n / 2 / below;
  return Math.exp(-x * x) / Math.sqrt(Math.PI) / below;
}

/**
 * Regularised incomplete beta I_x(a, b), DLMF 8.17.22 by the modified Lentz method; `rest` is 1 -
 * x, given apart so that it does not cancel.
 */
export function incompleteBeta(x: number, rest: number, a: number, b: number): number {
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

/**
 * ln of the gamma function for x > 0: Stirling's series (DLMF 5.11.1) after shifting x above 10 by
 * the recurrence (5.5.1).
 */
export function logGamma(x: number): number {
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

/**
 * Regularised upper incomplete gamma function Q(a, x), a > 0, x >= 0: the series of DLMF 8.11.4
 * below a + 1, the continued fraction of DLMF 8.9.2 by the modified Lentz method above. Relative
 * error about 1e-13 (1e-11 for a of thousands).
 */
export function upperGamma(a: number, x: number): number {
  if (x <= 0) return 1;
  if (x === Number.POSITIVE_INFINITY) return 0;
  const front = Math.exp(a * Math.log(x) - x - logGamma(a));
  if (x < a + 1) {
    let term = 1 / a;
    let sum = term;
    for (let n = 1; term > sum * 1e-17; n++) {
      term *= x / (a + n);
      sum += term;
    }
    return 1 - front * sum;
  }
  let b = x + 1 - a;
  let c = Number.POSITIVE_INFINITY;
  let d = 1 / b;
  let fraction = d;
  for (let n = 1; n < 100_000; n++) {
    const numerator = -n * (n - a);
    b += 2;
    d = 1 / (b + numerator * d);
    c = b + numerator / c;
    fraction *= c * d;
    if (Math.abs(c * d - 1) < 1e-15) break;
  }
  return front * fraction;
}
