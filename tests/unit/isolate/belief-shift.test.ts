import * as fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import type { Evidence } from '../../../src/checks/evidence.ts';
import type { Guide } from '../../../src/guide/types.ts';
import { believe } from '../../../src/isolate/belief/belief.ts';
import { type BeliefShift, beliefShift } from '../../../src/isolate/next/belief-shift.ts';
import { openModel } from '../../../src/isolate/predict/model.ts';
import type { Belief } from '../../../src/isolate/types.ts';
import { exampleGuide, exampleNames } from '../../support/example-guide.ts';
import { evidenceOf } from '../../support/isolate/any-evidence.ts';
import { anyGuide } from '../../support/isolate/any-guide.ts';
import { runs } from '../../support/runs.ts';

const shares = (of: Record<string, number>): Pick<Belief, 'decisions'> => ({
  decisions: Object.entries(of).map(([id, p]) => ({ id, name: id, units: [], p })),
});

/** The units and contacts that decisions are about: two faults are about those of both. */
const partsOf = (ids: readonly string[]): string[] => ids.flatMap((id) => id.split(' + '));

function expectOneSided({ out, against, up }: BeliefShift): void {
  const spoken = new Set(partsOf(up));
  expect(partsOf([...out, ...against]).filter((part) => spoken.has(part))).toEqual([]);
  expect(out.filter((id) => against.includes(id))).toEqual([]);
}

describe('what a piece of evidence did to a belief', () => {
  test('what becomes likelier is spoken for, what becomes far less likely is ruled out', () => {
    const shift = beliefShift(shares({ a: 0.4, b: 0.4, c: 0.2 }), shares({ a: 0.75, b: 0.01, c: 0.1 }));
    expect(shift).toEqual({ out: ['b'], against: ['c'], up: ['a'], isAll: false });
  });

  test('a pair is not ruled out while a part of it is spoken for, nor a part of a pair that is', () => {
    const before = shares({ a: 0.3, 'a + b': 0.3, b: 0.3, c: 0.1 });
    expect(beliefShift(before, shares({ a: 0.97, 'a + b': 0.01, b: 0.01, c: 0.01 })).out).toEqual(['b', 'c']);
    expect(beliefShift(before, shares({ a: 0.01, 'a + b': 0.97, b: 0.01, c: 0.01 })).out).toEqual(['c']);
  });

  test('what the guide does not know is neither', () => {
    const shift = beliefShift(shares({ unknown: 0.1, a: 0.9 }), shares({ unknown: 0.9, a: 0.1 }));
    expect([...shift.up, ...shift.out, ...shift.against]).not.toContain('unknown');
  });
});

function expectOneSidedAlong(guide: Guide, evidence: readonly Evidence[]): void {
  const model = openModel(guide);
  const beliefs = [...evidence.keys(), evidence.length].map((count) => {
    const told = believe(model, evidence.slice(0, count));
    if ('code' in told) throw new Error(told.what);
    return told;
  });
  beliefs.slice(1).forEach((after, k) => {
    expectOneSided(beliefShift(beliefs[k]!, after));
  });
}

describe('no unit or contact is spoken for and against by one piece of evidence, whatever was read', () => {
  test.each(exampleNames)('on %s', (name) => {
    const guide = exampleGuide(name);
    fc.assert(
      fc.property(evidenceOf(guide), (evidence) => expectOneSidedAlong(guide, evidence.slice(0, 5))),
      { seed: 7, numRuns: runs(12), endOnFailure: true },
    );
  });

  test('on made-up guides', () => {
    const cases = anyGuide.chain((guide) => fc.tuple(fc.constant(guide), evidenceOf(guide)));
    fc.assert(
      fc.property(cases, ([guide, evidence]) => expectOneSidedAlong(guide, evidence)),
      { seed: 8, numRuns: runs(150), endOnFailure: true },
    );
  });
});
