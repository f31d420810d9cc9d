import type { Repair } from '../../guide/types.ts';
import type { IsolationRules } from '../rules/isolation-rules.ts';
import type { Repaired } from '../types.ts';

/**
 * Returns the chance, 0..1, that a repair mends a fault that it has left after so many tries:
 * success * w / (w + tries).
 *
 * That is the predictive mean of a beta distribution with the guide's chance as its mean and the
 * weight of `w` tries, after tries that all failed (the beta-binomial model: Gelman et al.,
 * Bayesian Data Analysis, section 2.4). A fault that is still there has seen them all fail.
 */
export function chanceAfter({ success }: Pick<Repair, 'success'>, tries: number, { repairs }: IsolationRules): number {
  return (success * repairs.worthTries) / (repairs.worthTries + tries);
}

/** Returns how often a repair stands among those that were done. */
export function triesOf(id: string, repaired: readonly Repaired[]): number {
  return repaired.filter((one) => 'repair' in one && one.repair === id).length;
}
