/**
 * Returns the mean, NaN for no values. Two passes, so that a small spread on a large mean keeps its
 * digits.
 */
export function meanOf(values: readonly number[]): number {
  const rough = values.reduce((sum, value) => sum + value, 0) / values.length;
  return rough + values.reduce((sum, value) => sum + (value - rough), 0) / values.length;
}

/** Returns the standard deviation (n - 1); 0 for a single value, NaN for none. */
export function standardDeviation(values: readonly number[]): number {
  if (values.length === 1) return 0;
  const mean = meanOf(values);
  return Math.sqrt(values.reduce((sum, value) => sum + (value - mean) ** 2, 0) / (values.length - 1));
}
