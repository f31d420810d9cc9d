import { standardDeviation } from './moments.ts';
import { type Normality, shapiroWilk } from './normality.ts';
import { outlyingValues } from './outlying.ts';

/** The scale on which values are taken as normal. */
export type Scale = 'linear' | 'log';

/** How a sample looks on one scale: with all values, and with those that do not belong left out. */
export interface ScaleView {
  scale: Scale;
  /** Places of the values that do not belong. */
  outliers: number[];
  all: Normality | null;
  /** Without the outliers; the same as `all` when there are none. */
  rest: Normality | null;
}

/** Which scale a sample is taken on, and why. `scale` null: on neither does it look normal. */
export interface SampleShape {
  scale: Scale | null;
  outliers: number[];
  views: ScaleView[];
}

/** Below this probability a sample is not taken as normal. */
export const leastNormal = 0.05;

/**
 * Returns the scale on which a sample is taken as normal: the linear one unless Shapiro and Wilk's test rejects it at 5 %; then the logarithmic one,
 * if all values are above zero and the test does not reject that; then the one on which it passes without the fewest outliers
 * (generalised ESD test). An outlier on a scale that is normal with all values is named as well.
 *
 * A sample that the test can't judge (fewer than three values, or all equal) is taken as linear.
 */
export function sampleShape(values: readonly number[]): SampleShape {
  const views = [viewOf('linear', values)];
  if (values.every((value) => value > 0)) views.push(viewOf('log', values.map(Math.log)));
  const whole = views.find(({ all }) => all === null || all.p >= leastNormal);
  const mended = views
    .filter(({ rest, outliers }) => outliers.length > 0 && (rest === null || rest.p >= leastNormal))
    .sort((a, b) => a.outliers.length - b.outliers.length)[0];
  // one far value can pull the line so that the rest looks straight: on the linear scale it is still named
  const chosen = whole ?? mended;
  return { scale: chosen?.scale ?? null, outliers: chosen?.outliers ?? [], views };
}

function viewOf(scale: Scale, values: readonly number[]): ScaleView {
  const spread = standardDeviation(values);
  const outliers = spread > 0 ? outlyingValues(values) : [];
  const rest = values.filter((_, i) => !outliers.includes(i));
  const all = shapiroWilk(values);
  return { scale, outliers, all, rest: outliers.length === 0 ? all : shapiroWilk(rest) };
}
