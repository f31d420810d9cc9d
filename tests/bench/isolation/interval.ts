/** A share with its two-sided 95 % interval. */
export interface Share {
  count: number;
  of: number;
  share: number;
  low: number;
  high: number;
}

/**
 * Returns a share with its exact interval: the probabilities at which as many or more, or as few or fewer, have a chance of 2.5 % (Clopper and Pearson,
 * Biometrika 26 (1934) 404-413). NaN for none of none.
 */
export function shareOf(count: number, of: number): Share {
  if (of === 0) return { count, of, share: Number.NaN, low: Number.NaN, high: Number.NaN };
  const low = count === 0 ? 0 : where((p) => 1 - atMost(count - 1, of, p) < 0.025);
  const high = count === of ? 1 : where((p) => atMost(count, of, p) > 0.025);
  return { count, of, share: count / of, low, high };
}

/** Returns the greatest p at which a condition holds that holds below it. */
function where(holds: (p: number) => boolean): number {
  let [low, high] = [0, 1];
  for (let k = 0; k < 60; k++) {
    const middle = (low + high) / 2;
    if (holds(middle)) low = middle;
    else high = middle;
  }
  return (low + high) / 2;
}

/** The chance of at most `count` out of `of`, each with p. */
function atMost(count: number, of: number, p: number): number {
  if (p <= 0) return 1;
  if (p >= 1) return count >= of ? 1 : 0;
  let log = of * Math.log1p(-p);
  let sum = Math.exp(log);
  for (let k = 1; k <= count; k++) {
    log += Math.log((of - k + 1) / k) + Math.log(p) - Math.log1p(-p);
    sum += Math.exp(log);
  }
  return Math.min(1, sum);
}
