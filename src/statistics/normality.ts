import { normalCdf, normalQuantile } from './distributions/distribution.ts';
import { meanOf } from './moments.ts';

/**
 * What the test of normality came to: W near 1 looks normal; `p` is the probability of a W as small
 * or smaller from normal values.
 */
export interface Normality {
  w: number;
  p: number;
}

/**
 * Coefficients of Royston's algorithm AS R94 (Appl. Statist. 44 (1995) 547), constant term first.
 */
const lastWeight = [0, 0.221157, -0.147981, -2.07119, 4.434685, -2.706056];
const nextWeight = [0, 0.042981, -0.293762, -1.752461, 5.682633, -3.582633];
const smallMean = [0.544, -0.39978, 0.025054, -6.714e-4];
const smallLogSd = [1.3822, -0.77857, 0.062767, -0.0020322];
const largeMean = [-1.5861, -0.31082, -0.083751, 0.0038915];
const largeLogSd = [-0.4803, -0.082676, 0.0030302];
const smallBound = [-2.273, 0.459];

/**
 * Returns Shapiro and Wilk's W of 3 to 5000 values and its probability, by Royston's approximation
 * (AS R94); null for fewer or more values, or when all are equal, so that nothing can be said of
 * their shape.
 */
export function shapiroWilk(values: readonly number[]): Normality | null {
  const n = values.length;
  if (n < 3 || n > 5000) return null;
  const sorted = [...values].sort((a, b) => a - b);
  const mean = meanOf(sorted);
  const squares = sorted.reduce((sum, value) => sum + (value - mean) ** 2, 0);
  if (!(squares > 0)) return null;
  const weights = halfWeights(n);
  const slope = weights.reduce((sum, weight, i) => sum + weight * (sorted[n - 1 - i]! - sorted[i]!), 0);
  const w = Math.min(1, slope ** 2 / squares);
  return { w, p: probabilityOf(w, n) };
}

/** Weights of the differences of extremes, the outermost first. */
function halfWeights(n: number): number[] {
  if (n === 3) return [Math.SQRT1_2];
  const half = n >> 1;
  const expected = Array.from({ length: half }, (_, i) => -normalQuantile((i + 1 - 0.375) / (n + 0.25)));
  const squares = 2 * expected.reduce((sum, m) => sum + m * m, 0);
  const root = 1 / Math.sqrt(n);
  const last = polynomial(lastWeight, root) + expected[0]! / Math.sqrt(squares);
  const given = [last];
  if (n > 5) given.push(polynomial(nextWeight, root) + expected[1]! / Math.sqrt(squares));
  const rest = squares - 2 * given.reduce((sum, _, i) => sum + expected[i]! ** 2, 0);
  const left = 1 - 2 * given.reduce((sum, weight) => sum + weight ** 2, 0);
  const scale = Math.sqrt(rest / left);
  return expected.map((m, i) => given[i] ?? m / scale);
}

function probabilityOf(w: number, n: number): number {
  // W of three values has a distribution in closed form
  if (n === 3) return Math.min(1, Math.max(0, (6 / Math.PI) * (Math.asin(Math.sqrt(w)) - Math.asin(Math.sqrt(0.75)))));
  if (w === 1) return 1;
  const y = Math.log1p(-w);
  if (n <= 11) {
    const bound = polynomial(smallBound, n);
    if (y >= bound) return 0;
    const z = (-Math.log(bound - y) - polynomial(smallMean, n)) / Math.exp(polynomial(smallLogSd, n));
    return normalCdf(-z);
  }
  const logN = Math.log(n);
  return normalCdf(-(y - polynomial(largeMean, logN)) / Math.exp(polynomial(largeLogSd, logN)));
}

function polynomial(coefficients: readonly number[], x: number): number {
  return coefficients.reduceRight((sum, coefficient) => sum * x + coefficient, 0);
}
