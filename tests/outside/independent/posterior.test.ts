// The posterior against an independent small implementation that follows the page of the model: random guides, brute force, quadrature.
import * as fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import type { Evidence } from '../../../src/checks/evidence.ts';
import type { Guide } from '../../../src/guide/types.ts';
import { believe } from '../../../src/isolate/belief/belief.ts';
import { openModel } from '../../../src/isolate/predict/model.ts';
import { isolationRules } from '../../../src/isolate/rules/rules.ts';
import { evidenceOf } from '../../support/isolate/any-evidence.ts';
import { anyGuide } from '../../support/isolate/any-guide.ts';
import { runs } from '../../support/runs.ts';
import { posteriorOf } from './posterior.ts';
import { type Stated, statedIn, statedOnPage } from './stated-model.ts';

const cases = anyGuide.chain((guide) => fc.tuple(fc.constant(guide), evidenceOf(guide)));

/** The probabilities of single faults among themselves: pairs are a search, not a part of the model. */
function singlesOf(guide: Guide, evidence: readonly Evidence[], rules: number): Map<string, number> {
  const belief = believe(openModel(guide, isolationRules[rules]!), evidence);
  if ('code' in belief) throw new Error(belief.what);
  const singles = belief.suspects.filter(({ faults }) => faults.length < 2);
  const share = singles.reduce((sum, { p }) => sum + p, 0);
  return new Map(singles.map(({ id, p }) => [id, p / share]));
}

describe.each<[number, Stated]>([
  [2, statedOnPage],
  [1, statedIn(isolationRules[1]!)],
])('the posterior under rules %i is the one that the text of the model gives, to 1e-4', (rules, stated) => {
  test('on any guide, with any evidence', () => {
    fc.assert(
      fc.property(cases, ([guide, evidence]) => {
        const [told, reference] = [singlesOf(guide, evidence, rules), posteriorOf(guide, evidence, stated)];
        expect([...told.keys()].sort()).toEqual([...reference.keys()].sort());
        for (const [id, p] of told) {
          expect(Math.abs(p - reference.get(id)!), `${id}: ${p}, independently ${reference.get(id)}`).toBeLessThan(
            1e-4,
          );
        }
      }),
      { seed: 11, numRuns: runs(60), endOnFailure: true },
    );
  });
});
