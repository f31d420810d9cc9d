/**
 * Returns how many presses in a row must all be good before at least the share `coverage` of
 * presses is good, said with `confidence`: the least n with coverage^n <= 1 - confidence
 * (success-run rule; 59 for 95 % and 95 %).
 */
export function successRunLength(coverage: number, confidence: number): number {
  if (!(coverage > 0 && coverage < 1 && confidence > 0 && confidence < 1)) return Number.NaN;
  // the small allowance keeps a whole number from being pushed up by binary rounding
  return Math.max(1, Math.ceil(Math.log1p(-confidence) / Math.log(coverage) - 1e-9));
}

/**
 * Returns the share of good presses that `n` good ones in a row show with `confidence`: (1 -
 * confidence)^(1/n). 0 for none.
 */
export function successRunShare(n: number, confidence: number): number {
  return n > 0 ? (1 - confidence) ** (1 / n) : 0;
}
