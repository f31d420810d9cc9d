import { frontEndTable } from '../../protocol/table.ts';
import { autocorrelation, robustMean } from '../../statistics/robust.ts';

const conversions = frontEndTable.sumOf;
/**
 * Spread of the sum of 16 conversions that each have 0.6 steps rms of noise (common practice, no
 * source) beside rounding, LSB / sqrt(12) (IEEE 1241).
 */
const usualSpread = Math.sqrt(conversions * (0.6 ** 2 + 1 / 12));
/**
 * Outliers lie beyond so many spreads. A closer cut takes good readings where the MAD of a few came
 * out small by chance, and the scatter that is left says too little.
 */
const outlierCut = 5;
/**
 * The converter's integral non-linearity: half a step of each conversion (ATmega328P data sheet,
 * typical), as limits.
 */
const inlLsb = 0.5;

/** The mean code of a window and what is not known about it, all in codes of a reading. */
export interface CodeStatistics {
  mean: number;
  /** Repeatability of the mean (type A), with its degrees of freedom. */
  uRepeat: number;
  dofRepeat: number;
  /** Rounding that the noise does not average out. */
  uRounding: number;
  uNonlinearity: number;
  dropped: number;
}

/**
 * Returns the robust mean of the codes of a steady window with its uncertainty in codes; null for
 * no codes or codes that are no numbers.
 *
 * - Repeatability: s / sqrt(n_eff) (JCGM 100:2008, 4.2.3). When the lag-1 autocorrelation is above
 *   2 / sqrt(n), which white noise passes 1 time in 40, n_eff = n / (1 + 2 sum (1 - k/n) r_k) over
 *   the first lags while r_k stays positive, at most a third of the window (Bayley and Hammersley,
 *   J. R. Stat. Soc. Suppl. 8 (1946) 184): so mains hum and drift count as few observations instead
 *   of many. A single code has the converter's usual noise, taken as well known.
 * - Rounding: noise of sigma steps at the converter leaves LSB/sqrt(12) * exp(-2 pi^2 sigma^2) of
 *   the rounding error in the mean (Widrow and Kollar, Quantization Noise, 2008, on dither; from
 *   memory): all of it where no noise is seen.
 */
export function codeStatistics(codes: readonly number[]): CodeStatistics | null {
  if (codes.length === 0 || !codes.every(Number.isFinite)) return null;
  const { mean, sd, kept, dropped } = robustMean(codes, usualSpread, outlierCut);
  const n = kept.length;
  const effective = n / correlationLength(kept);
  const single = n === 1;
  const sigmaLsb2 = Math.max(0, sd ** 2 / conversions - 1 / 12);
  return {
    mean,
    uRepeat: single ? usualSpread : sd / Math.sqrt(effective),
    dofRepeat: single ? Number.POSITIVE_INFINITY : Math.max(1, effective - 1),
    uRounding: (conversions / Math.sqrt(12)) * Math.exp(-2 * Math.PI ** 2 * sigmaLsb2),
    uNonlinearity: (conversions * inlLsb) / Math.sqrt(3),
    dropped,
  };
}

/** 1 for what looks like white noise, else how many neighbours say the same thing. */
function correlationLength(values: readonly number[]): number {
  const n = values.length;
  if (autocorrelation(values, 1) <= 2 / Math.sqrt(n)) return 1;
  let length = 1;
  for (let lag = 1; lag <= n / 3; lag++) {
    const r = autocorrelation(values, lag);
    if (r <= 0) break;
    length += 2 * (1 - lag / n) * r;
  }
  return length;
}
