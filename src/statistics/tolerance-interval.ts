import { chiSquareQuantile, normalQuantile } from './distributions/distribution.ts';
import { noncentralTQuantile } from './distributions/noncentral-t.ts';

/**
 * What limits from a sample promise: at least the share `coverage` of all good units is inside,
 * said with `confidence`. Both 0..1.
 */
export interface Promised {
  coverage: number;
  confidence: number;
}

/** Sides that a limit is on. */
export type Sides = 'upper' | 'lower' | 'both';

/**
 * Returns the factor k of a one-sided normal tolerance limit, mean + k s (or - k s) of n values
 * with unknown mean and standard deviation: t'(confidence; n - 1, z sqrt(n)) / sqrt(n), with t' the
 * noncentral t and z the normal quantile of the coverage (NIST/SEMATECH e-Handbook 7.2.6.3; ISO
 * 16269-6). Infinity below two values.
 */
export function oneSidedFactor(n: number, { coverage, confidence }: Promised): number {
  if (n < 2) return Number.POSITIVE_INFINITY;
  return noncentralTQuantile(confidence, n - 1, normalQuantile(coverage) * Math.sqrt(n)) / Math.sqrt(n);
}

/**
 * Returns the factor k of a two-sided normal tolerance interval, mean +- k s, by Howe's
 * approximation: z((1 + coverage)/2) sqrt(dof (1 + 1/n) / chi-square(1 - confidence; dof)), dof = n
 * - 1 (e-Handbook 7.2.6.3; J. Am. Stat. Assoc. 64 (1969) 610). Within 2 % of the exact factor from
 * five values on, and not always above it. Infinity below two values.
 */
export function twoSidedFactor(n: number, { coverage, confidence }: Promised): number {
  if (n < 2) return Number.POSITIVE_INFINITY;
  const dof = n - 1;
  return normalQuantile((1 + coverage) / 2) * Math.sqrt((dof * (1 + 1 / n)) / chiSquareQuantile(1 - confidence, dof));
}

/** Returns the tolerance factor for the sides asked. */
export function toleranceFactor(sides: Sides, n: number, promise: Promised): number {
  return sides === 'both' ? twoSidedFactor(n, promise) : oneSidedFactor(n, promise);
}

/**
 * Returns what the factor falls to as the number of units grows without bound: the normal quantile.
 */
export function limitingFactor(sides: Sides, { coverage }: Promised): number {
  return normalQuantile(sides === 'both' ? (1 + coverage) / 2 : coverage);
}

/**
 * A limit is 'from too few' when chance alone makes it more than so many times as wide as endless
 * units would; a choice of ours.
 */
export const mostWidening = 2;

/**
 * Returns how many units a normal tolerance limit takes before its factor is at most `mostWidening`
 * times the one of endless units.
 */
export function unitsNeeded(sides: Sides, promise: Promised): number {
  const most = mostWidening * limitingFactor(sides, promise);
  let n = 2;
  while (toleranceFactor(sides, n, promise) > most && n < 1000) n++;
  return n;
}

/**
 * Returns how many units it takes for their extremes to be tolerance limits whatever the
 * distribution: the least n with coverage^n <= 1 - confidence for one side; for both 1 - n
 * coverage^(n-1) + (n - 1) coverage^n >= confidence (Wilks, Ann. Math. Stat. 12 (1941) 91).
 */
export function unitsNeededForExtremes(sides: Sides, { coverage, confidence }: Promised): number {
  const claims = (n: number): number =>
    sides === 'both' ? 1 - n * coverage ** (n - 1) + (n - 1) * coverage ** n : 1 - coverage ** n;
  let n = 2;
  while (claims(n) < confidence && n < 1_000_000) n++;
  return n;
}
