/**
 * 1 / Phi^-1(3/4): makes the median absolute deviation of normal data an estimate of their standard
 * deviation.
 */
export const madScale = 1.482602218505602;

/** Returns the median, or NaN for no values. */
export function median(values: readonly number[]): number {
  const sorted = new Float64Array(values).sort();
  const half = sorted.length >> 1;
  if (sorted.length === 0) return Number.NaN;
  return sorted.length % 2 === 1 ? sorted[half]! : (sorted[half - 1]! + sorted[half]!) / 2;
}

/** Returns the median absolute deviation from the median, unscaled; NaN for no values. */
export function medianAbsoluteDeviation(values: readonly number[]): number {
  const middle = median(values);
  return median(values.map((value) => Math.abs(value - middle)));
}

/** A mean without outliers. */
export interface RobustMean {
  mean: number;
  /** Standard deviation of the values kept (n - 1). 0 for a single value. */
  sd: number;
  kept: number[];
  dropped: number;
}

/**
 * Returns the mean of the values that lie within `cut` scaled MADs of the median (Hampel's rule),
 * with their standard deviation. `leastScale` keeps a MAD that is zero or small by chance from
 * dropping good values: pass the usual spread. No values: mean NaN.
 */
export function robustMean(values: readonly number[], leastScale: number, cut: number): RobustMean {
  const middle = median(values);
  const reach = cut * Math.max(madScale * medianAbsoluteDeviation(values), leastScale);
  const kept = values.filter((value) => Math.abs(value - middle) <= reach);
  const mean = kept.reduce((sum, value) => sum + value, 0) / kept.length;
  const squares = kept.reduce((sum, value) => sum + (value - mean) ** 2, 0);
  return {
    mean,
    sd: kept.length > 1 ? Math.sqrt(squares / (kept.length - 1)) : 0,
    kept,
    dropped: values.length - kept.length,
  };
}

/**
 * Returns the lag-k autocorrelation: sum of d_i d_(i+k) over sum of d_i^2, d the deviations from
 * the mean. 0 for constant data.
 */
export function autocorrelation(values: readonly number[], lag: number): number {
  const mean = values.reduce((sum, value) => sum + value, 0) / values.length;
  let products = 0;
  let squares = 0;
  for (let i = 0; i < values.length; i++) {
    const deviation = values[i]! - mean;
    squares += deviation * deviation;
    if (i + lag < values.length) products += deviation * (values[i + lag]! - mean);
  }
  return squares === 0 ? 0 : products / squares;
}
