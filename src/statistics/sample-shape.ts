import { standardDeviation } from './moments.ts';
import { type Normality, shapiroWilk } from './normality.ts';
import { outlyingValues } from './outlier-test.ts';

/** The scale on which values are taken as normal. */
export type SampleScale = 'linear' | 'log';

/** How a sample looks on one scale: with all values, and with those that do not belong left out. */
interface ScaleView {
  scale: SampleScale;
  /** Places of the values that do not belong. */
  outliers: number[];
  all: Normality | null;
  /** Without the outliers; the same as `all` when there are none. */
  rest: Normality | null;
}

/**
 * On which scales a sample may be taken as normal, and without which values. No scale: it looks
 * normal on neither.
 */
export interface SampleShape {
  scales: SampleScale[];
  outliers: number[];
  views: ScaleView[];
}

/** Below this probability a sample is not taken as normal. */
const leastNormal = 0.05;

/**
 * Returns the scales on which a sample may be taken as normal: linear and (if all values are above
 * zero) logarithmic, each unless Shapiro and Wilk's test rejects it at 5 %. Few values often let
 * both stand; then limits have to hold on both, because to prefer one would break their promise on
 * data of the other kind. A value does not belong when the generalised ESD test says so on every
 * scale that stands.
 *
 * When the test rejects both, the one is taken that passes without the fewest outliers. A sample
 * that can't be tested (fewer than three values, or all equal) is taken as linear.
 */
export function sampleShape(values: readonly number[]): SampleShape {
  const views = [viewOf('linear', values)];
  if (views[0]!.all === null) return { scales: ['linear'], outliers: [], views };
  if (values.every((value) => value > 0)) views.push(viewOf('log', values.map(Math.log)));
  const standing = views.filter(({ all }) => isNormal(all));
  if (standing.length > 0) {
    const [first, ...others] = standing;
    const outliers = first!.outliers.filter((i) => others.every((view) => view.outliers.includes(i)));
    return { scales: standing.map(({ scale }) => scale), outliers, views };
  }
  const mended = views
    .filter(({ outliers, rest }) => outliers.length > 0 && isNormal(rest))
    .sort((a, b) => a.outliers.length - b.outliers.length)[0];
  return { scales: mended === undefined ? [] : [mended.scale], outliers: mended?.outliers ?? [], views };
}

function isNormal(test: Normality | null): boolean {
  return test === null || test.p >= leastNormal;
}

function viewOf(scale: SampleScale, values: readonly number[]): ScaleView {
  const spread = standardDeviation(values);
  const outliers = spread > 0 ? outlyingValues(values) : [];
  const rest = values.filter((_, i) => !outliers.includes(i));
  const all = shapiroWilk(values);
  return { scale, outliers, all, rest: outliers.length === 0 ? all : shapiroWilk(rest) };
}
