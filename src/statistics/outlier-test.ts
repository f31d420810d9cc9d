import { studentQuantile } from './distributions/distribution.ts';
import { meanOf, standardDeviation } from './moments.ts';

/**
 * One step of the test: the most extreme value left, its distance in standard deviations, and how
 * far chance would take it.
 */
export interface EsdStep {
  /** Place in the values that were given. */
  index: number;
  distance: number;
  critical: number;
}

/**
 * Returns the steps of Rosner's generalised ESD test, the most extreme value taken out after each
 * (Technometrics 25 (1983) 165; NIST/SEMATECH e-Handbook 1.3.5.17.3). Outliers are all values up to
 * the last step whose distance is above its critical value. With `most` 1 it is Grubbs' test. Ends
 * early when the values left are all equal or fewer than three.
 */
export function esdSteps(values: readonly number[], most: number, alpha = 0.05): EsdStep[] {
  const n = values.length;
  const left = values.map((value, index) => ({ value, index }));
  const steps: EsdStep[] = [];
  for (let i = 1; i <= most && left.length >= 3; i++) {
    const numbers = left.map(({ value }) => value);
    const mean = meanOf(numbers);
    const sd = standardDeviation(numbers);
    if (!(sd > 0)) break;
    let worst = 0;
    for (let k = 1; k < left.length; k++) {
      if (Math.abs(left[k]!.value - mean) > Math.abs(left[worst]!.value - mean)) worst = k;
    }
    const dof = n - i - 1;
    const t = studentQuantile(1 - alpha / (2 * (n - i + 1)), dof);
    const critical = ((n - i) * t) / Math.sqrt((dof + t * t) * (n - i + 1));
    steps.push({ index: left[worst]!.index, distance: Math.abs(left[worst]!.value - mean) / sd, critical });
    left.splice(worst, 1);
  }
  return steps;
}

/**
 * The test holds what it promises from so many values on (Rosner 1983); below, only one outlier is
 * looked for.
 */
const fewestForSeveral = 15;

/**
 * Returns the places of the values that do not belong (in order of suspicion), at a 5 % chance of
 * naming any in a clean sample. Below 15 values at most one is found; above, at most a fifth.
 */
export function outlyingValues(values: readonly number[]): number[] {
  const most = values.length < fewestForSeveral ? 1 : Math.floor(values.length / 5);
  const steps = esdSteps(values, most);
  const count = steps.findLastIndex(({ distance, critical }) => distance > critical) + 1;
  return steps.slice(0, count).map(({ index }) => index);
}
