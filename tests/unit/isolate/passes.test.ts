// Where all that was done passed, no fault is found: by the numbers alone, and by what stands beside them.
import * as fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import type { Evidence } from '../../../src/checks/evidence.ts';
import { isContact } from '../../../src/guide/circuit/link-kinds.ts';
import type { Guide } from '../../../src/guide/types.ts';
import { believe } from '../../../src/isolate/belief/belief.ts';
import { besideOutcomes } from '../../../src/isolate/next/beside-outcomes.ts';
import { conclude } from '../../../src/isolate/next/stopping.ts';
import { type Model, openModel } from '../../../src/isolate/predict/model.ts';
import { isolatorOf } from '../../../src/session/job/guide-isolator.ts';
import { testGuide } from '../../support/dry-bench.ts';
import { exampleGuide, exampleNames } from '../../support/example-guide.ts';
import { anyGuide, anyOhm, evenly } from '../../support/isolate/any-guide.ts';
import { shownBy } from '../../support/isolate/shown-by.ts';
import { runs } from '../../support/runs.ts';
import { DrySession } from '../faces/scenes.ts';

const mostWorn = 5;

/** The same device with contacts of other ohms, link by link. */
function wornBy(guide: Guide, factors: readonly number[]): Guide {
  const links = guide.links.map((link, k) =>
    isContact(link.kind) ? { ...link, ohm: link.ohm * factors[k % factors.length]! } : link,
  );
  return { ...guide, links };
}

/** Some of the checks that pass on a device with worn contacts, in some order. */
const passesOf = (guide: Guide): fc.Arbitrary<Evidence[]> =>
  fc
    .oneof(
      evenly(1, mostWorn).map((factor) => [factor]),
      fc.array(evenly(1, mostWorn), { minLength: 1, maxLength: 6 }),
    )
    .map((factors) => shownBy(wornBy(guide, factors)).filter(({ isPass }) => isPass))
    .chain((shown) => fc.shuffledSubarray(shown.map(({ evidence }) => evidence)));

/** Kinds of conclusion: by the numbers and beside the outcomes, going on if one may, and with no check left. */
function kindsOf(model: Model, evidence: readonly Evidence[]): { alone: string[]; beside: string[] } {
  const { guide } = model;
  const belief = believe(model, evidence);
  if ('code' in belief) throw new Error(belief.what);
  const all = guide.checks.map(({ id }) => id);
  const situations = [
    { power: null, access: undefined, done: evidence.map(({ check }) => check) },
    { power: null, access: undefined, done: all, again: all },
  ];
  const alone = situations.map((situation) => conclude(model, belief, situation));
  const passes = evidence.map(() => 'pass' as const);
  return {
    alone: alone.map(({ kind }) => kind),
    beside: alone.map((one) => besideOutcomes(one, passes, model.rules).kind),
  };
}

describe.each(exampleNames)('readings inside their limits, contacts one to five times nominal, on %s', (name) => {
  const guide = exampleGuide(name);
  const model = openModel(guide);

  test('never end as a fault found', () => {
    fc.assert(
      fc.property(passesOf(guide), (evidence) => {
        const { alone, beside } = kindsOf(model, evidence);
        expect(alone).not.toContain('fault');
        if (evidence.length === 0) return;
        expect(['open', 'none']).toContain(beside[0]);
        expect(beside[1]).toBe('none');
      }),
      { seed: 3, numRuns: runs(12), endOnFailure: true },
    );
  });
});

test('the same of made-up guides', () => {
  const cases = anyGuide.chain((guide) =>
    fc.tuple(fc.constant({ ...guide, wrongPad: 0.01, eyes: { miss: 0.02, falseAlarm: 0.02 } }), passesOf(guide)),
  );
  fc.assert(
    fc.property(cases, ([guide, evidence]) => {
      const { alone, beside } = kindsOf(openModel(guide), evidence);
      expect(alone).not.toContain('fault');
      expect(evidence.length === 0 || ['open', 'none'].includes(beside[0]!)).toBe(true);
    }),
    { seed: 4, numRuns: runs(100), endOnFailure: true },
  );
});

describe('a session in which everything done passed', () => {
  const guide = testGuide();
  // the path may read up to 1 ohm, five times nominal; the rail is left out or not reached
  const steps = fc.array(
    fc.oneof(
      anyOhm(-2, -0.05).map((ohm) => ({ check: 'path', ohm })),
      fc.constant({ check: 'eyes', ohm: 0 }),
    ),
    { minLength: 1, maxLength: 5 },
  );

  test('is closed with no fault found and no repair, whatever was done in whatever order', () => {
    fc.assert(
      fc.property(steps, fc.constantFrom('information' as const, 'guide' as const), (done, order) => {
        const { bench } = new DrySession(guide, { isolator: isolatorOf(guide), settings: { order } }).opened();
        for (const { check, ohm } of done) {
          bench.give({ type: 'jump', check });
          if (check === 'path') bench.touch(ohm);
          else bench.answer('yes');
        }
        while (bench.state.tasks[bench.state.at]?.kind === 'check') {
          bench.give({ type: 'skip', reason: 'enough is known', by: 'person' });
        }
        const { concluded, checks, result } = bench.state.job;
        const outcomes = Object.values(checks).flatMap(({ outcome }) => outcome ?? []);
        expect(new Set(outcomes)).toEqual(new Set(['pass']));
        expect(['none', undefined]).toContain(concluded?.conclusion);
        expect(concluded?.plan.steps ?? []).toEqual([]);
        expect(result).not.toBe('failed');
      }),
      { seed: 5, numRuns: runs(40), endOnFailure: true },
    );
  });
});
