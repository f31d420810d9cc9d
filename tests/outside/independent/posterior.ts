import type { Evidence } from '../../../src/checks/evidence.ts';
import type { Guide } from '../../../src/guide/types.ts';
import { hypothesesOf } from './hypotheses.ts';
import { likelihoodOf } from './likelihoods.ts';
import { Looker, type Seen } from './seen.ts';
import { sightsOf } from './sights.ts';
import type { Stated } from './stated-model.ts';

// The posterior a second time, from the text of the model alone: every suspect and every part of what is not known of it, the circuit solved anew for
// each by plain Gaussian elimination, densities by quadrature, products and sums in plain numbers. Nothing of the program's belief is used in it.

/** Returns the probability of each suspect, single faults only, after some evidence; by suspect id. */
export function posteriorOf(guide: Guide, evidence: readonly Evidence[], stated: Stated): Map<string, number> {
  const pieces = evidence.map((one) => {
    const check = guide.checks.find(({ id }) => id === one.check)!;
    const lookers = Object.entries(sightsOf(guide, check)).map(
      ([name, sight]) => [name, new Looker(guide, stated, check, sight)] as const,
    );
    return { one, check, lookers };
  });
  const masses = hypothesesOf(guide, stated).map((hypothesis): [string, number] => {
    const mass = hypothesis.parts.reduce((sum, { weight }, k) => {
      const product = pieces.reduce((all, { one, check, lookers }) => {
        const seen: Record<string, Seen> = {};
        for (const [name, looker] of lookers) seen[name] = looker.of(hypothesis)[k]!;
        return all * likelihoodOf({ guide, stated, check }, one, hypothesis, seen);
      }, 1);
      return sum + weight * product;
    }, 0);
    return [hypothesis.id, hypothesis.prior * mass];
  });
  const total = masses.reduce((sum, [, mass]) => sum + mass, 0);
  return new Map(masses.map(([id, mass]) => [id, mass / total]));
}
