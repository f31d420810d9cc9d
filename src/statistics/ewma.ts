/** An exponentially weighted moving average chart. */
export interface EwmaSettings {
  /** What the values are around while all is well. */
  target: number;
  /** Standard deviation of single values while all is well. */
  sd: number;
  /** Weight of the newest value, above 0 and at most 1 (default 0.2). */
  lambda: number;
  /** Half width of the limits in standard deviations of the average (default 3). */
  width: number;
  /** Standard uncertainty of the target, where it is an estimate itself (default 0). */
  uTarget?: number;
  /**
   * So many standard deviations from the target a value counts at most (default: all of it), as
   * Huber's psi does (Ann. Math. Stat. 35 (1964) 73): a stray value moves the average little.
   */
  most?: number;
}

/** One point of the chart, in the unit of the values. */
interface EwmaPoint {
  value: number;
  average: number;
  lower: number;
  upper: number;
  /** The average is outside its limits. */
  out: boolean;
}

export interface EwmaChart {
  points: EwmaPoint[];
  /**
   * First point of the run outside the limits that the chart ends in or that came last; null: the
   * average was never outside.
   */
  signal: number | null;
  /**
   * Point from which the values are taken to have drifted: the one after the average last was at
   * its target's other side, before the signal.
   */
  began: number | null;
}

/**
 * Returns the EWMA chart of values in order: z_i = lambda x_i + (1 - lambda) z_(i-1) from z_0 =
 * target, limits target +- width sd sqrt(lambda/(2 - lambda) (1 - (1 - lambda)^(2i)))
 * (NIST/SEMATECH e-Handbook 6.3.2.4), with the uncertainty of the target added where it is given.
 * `began` is the change point as Nishina estimates it (Front. Stat. Qual. Control 4 (1992)): a
 * drift began after the last crossing of the target.
 */
export function ewmaChart(
  values: readonly number[],
  { target, sd, lambda, width, uTarget = 0, most = Number.POSITIVE_INFINITY }: EwmaSettings,
): EwmaChart {
  let average = target;
  const points = values.map((value, i): EwmaPoint => {
    const counted = Math.min(target + most * sd, Math.max(target - most * sd, value));
    average = lambda * counted + (1 - lambda) * average;
    const share = (lambda / (2 - lambda)) * (1 - (1 - lambda) ** (2 * (i + 1)));
    const reach = width * Math.hypot(sd * Math.sqrt(share), uTarget);
    const out = average > target + reach || average < target - reach;
    return { value, average, lower: target - reach, upper: target + reach, out };
  });
  const last = points.findLastIndex((point) => point.out);
  if (last < 0) return { points, signal: null, began: null };
  const side = Math.sign(points[last]!.average - target);
  const isDrifted = (i: number): boolean => Math.sign(points[i]!.average - target) === side;
  let began = last;
  while (began > 0 && isDrifted(began - 1)) began--;
  const signal = points.findIndex((point, i) => i >= began && point.out);
  return { points, signal, began };
}

/**
 * Returns the standard deviation of values one after the other by their moving ranges, mean |x_i -
 * x_(i-1)| / 1.128 (e-Handbook 6.3.2.2): a slow drift does not widen it. NaN below two values.
 */
export function movingRangeSd(values: readonly number[]): number {
  let total = 0;
  for (let i = 1; i < values.length; i++) total += Math.abs(values[i]! - values[i - 1]!);
  return total / (values.length - 1) / movingRangeScale;
}

/** Mean range of two normal values over their standard deviation: 2 / sqrt(pi). */
const movingRangeScale = 2 / Math.sqrt(Math.PI);
