// Evidence that can't be, that contradicts itself, or about guides that tell nothing: it ends in words, never in a conviction, never in NaN.
import * as fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import type { Evidence, Measured } from '../../../src/checks/evidence.ts';
import type { FaultMode, Guide } from '../../../src/guide/types.ts';
import { believe } from '../../../src/isolate/belief/belief.ts';
import { nextCheck } from '../../../src/isolate/next/next-check.ts';
import { conclude } from '../../../src/isolate/next/stopping.ts';
import { type Model, openModel } from '../../../src/isolate/predict/model.ts';
import type { Belief, Conclusion } from '../../../src/isolate/types.ts';
import { exampleGuide, exampleNames } from '../../support/example-guide.ts';
import { evidenceOf } from '../../support/isolate/any-evidence.ts';
import { anyGuide } from '../../support/isolate/any-guide.ts';
import { shownBy } from '../../support/isolate/shown-by.ts';
import { runs } from '../../support/runs.ts';

const recorder = exampleGuide('field-recorder');
const open: Measured = { value: 1e7, u: 0, state: 'above-range' };

function read(guide: Guide, check: string, reading: number | Measured): Evidence {
  const { kind } = guide.checks.find(({ id }) => id === check)!;
  const measured =
    typeof reading === 'number' ? { value: reading, u: 0.01 * Math.abs(reading), state: 'in-range' as const } : reading;
  return kind === 'voltage'
    ? { check, kind, quantity: 'voltage', reading: measured, unsteady: false }
    : { check, kind: kind as 'resistance', quantity: 'resistance', reading: measured, unsteady: false };
}

function ended(model: Model, evidence: readonly Evidence[]): { belief: Belief; ended: Conclusion } {
  const belief = believe(model, evidence);
  if ('code' in belief) throw new Error(belief.code);
  const all = model.guide.checks.map(({ id }) => id);
  return { belief, ended: conclude(model, belief, { power: null, access: undefined, done: all, again: all }) };
}

/** What is said with no check left, and while there are some. */
function told(guide: Guide, evidence: readonly Evidence[]): ReturnType<typeof ended> & { going: Conclusion } {
  const model = openModel(guide);
  const last = ended(model, evidence);
  const situation = { power: null, access: undefined, done: evidence.map(({ check }) => check) };
  nextCheck(model, last.belief, situation);
  return { ...last, going: conclude(model, last.belief, situation) };
}

const code = (guide: Guide, evidence: readonly Evidence[]): string | null => {
  const belief = believe(openModel(guide), evidence);
  return 'code' in belief ? belief.code : null;
};

/** All numbers of a belief and its plan are probabilities that sum to what they should. */
function expectSound({ belief, ended: last }: ReturnType<typeof ended>): void {
  for (const all of [belief.suspects, belief.decisions]) {
    for (const { p } of all) expect(p >= 0 && p <= 1).toBe(true);
    expect(all.reduce((sum, { p }) => sum + p, 0)).toBeCloseTo(1, 9);
  }
  expect(Number.isFinite(belief.bits)).toBe(true);
  const { plan } = last;
  for (const number of [plan.expectedPrice, plan.expectedMinutes, plan.left])
    expect(Number.isFinite(number)).toBe(true);
}

describe('a reading far outside physics is refused by its code', () => {
  test.each<[string, number]>([
    ['spring-a', -5],
    ['spring-a', 1e300],
    ['supply', 1e6],
    ['supply', -300],
  ])('%s reads %s', (check, value) => {
    expect(code(recorder, [read(recorder, check, { value, u: 0.01, state: 'in-range' })])).toBe(
      'evidence.not-physical',
    );
  });

  test('but not a short that reads a little below zero, nor a bound', () => {
    expect(code(recorder, [read(recorder, 'spring-a', { value: -0.004, u: 0.002, state: 'in-range' })])).toBeNull();
    expect(code(recorder, [read(recorder, 'spring-a', { value: 1e12, u: 0, state: 'above-range' })])).toBeNull();
  });
});

describe('evidence that no suspect explains', () => {
  // with tips that are never on a wrong pad nothing makes up for it
  test.each([recorder.wrongPad, 0])('convicts nobody, wrong pads %s', (wrongPad) => {
    const guide = { ...recorder, wrongPad };
    const all = told(guide, [read(guide, 'supply', 60), read(guide, 'cell', -50)]);
    expectSound(all);
    expect(all.belief.unexplained).toEqual(expect.arrayContaining(['supply', 'cell']));
    expect(all.going.kind).toBe('open');
    expect(all.ended).toMatchObject({ kind: 'unknown', plan: { steps: [] } });
  });
});

describe('contradictions', () => {
  const pairs: [string, Evidence[]][] = [
    ['closed, then open', [read(recorder, 'spring-a', 0.2), read(recorder, 'spring-a', open)]],
    ['open, then closed', [read(recorder, 'key-closed', open), read(recorder, 'key-closed', 1.2)]],
    [
      'three values',
      [read(recorder, 'spring-a', 0.2), read(recorder, 'spring-a', open), read(recorder, 'spring-a', 50)],
    ],
    ['two voltages', [read(recorder, 'supply', 1.8), read(recorder, 'supply', 0.2)]],
    [
      'a person who changes his mind',
      (['yes', 'no'] as const).map((answer) => ({ check: 'look-pads', kind: 'look', answer })),
    ],
  ];

  test.each(pairs)('%s: doubt in words, and no conviction', (_, evidence) => {
    const all = told(recorder, evidence);
    expectSound(all);
    expect(all.belief.doubt).not.toBeNull();
    expect(all.going.kind).not.toBe('fault');
    expect(all.ended.kind).not.toBe('fault');
  });

  // as the same check in two states of the device may
  test.each(exampleNames)('any check of %s that fails and passes convicts nobody', (name) => {
    const guide = exampleGuide(name);
    const model = openModel(guide);
    const passes = shownBy(guide).map(({ evidence }) => evidence);
    for (const { id } of guide.links.slice(0, 4)) {
      for (const { evidence, isPass } of shownBy(guide, [{ link: id, mode: 'open' }])) {
        if (isPass) continue;
        const pass = passes.find(({ check }) => check === evidence.check)!;
        expect(ended(model, [evidence, pass]).ended.kind, `${id} at ${evidence.check}`).not.toBe('fault');
        expect(ended(model, [pass, evidence]).ended.kind, `${id} at ${evidence.check}`).not.toBe('fault');
      }
    }
  });
});

describe('guides that tell nothing', () => {
  test('nothing is reachable: all checks lie between pads that the state of disassembly parts', () => {
    const parts = recorder.links.map(({ id }) => id);
    const guide: Guide = {
      ...recorder,
      access: recorder.access.map((one) => ({ ...one, parts })),
      checks: recorder.checks.filter(({ kind, access }) => kind === 'resistance' && access !== undefined),
    };
    const all = told(
      guide,
      guide.checks.map(({ id }) => read(guide, id, open)),
    );
    expectSound(all);
    expect(all.ended.kind).not.toBe('fault');
    expect(all.going.kind).not.toBe('fault');
  });

  test('all weights are zero: a reading that fails is none of the guide', () => {
    const weights = Object.fromEntries(
      (['open', 'high', 'short', 'film', 'weak', 'intermittent', 'stuck', 'leaky', 'welded'] as FaultMode[]).map(
        (mode) => [mode, 0],
      ),
    );
    const guide = { ...recorder, links: recorder.links.map((link) => ({ ...link, weights })) };
    const none = openModel(guide).suspects[0]!;
    expect(none.prior).toBe(guide.healthy);
    const all = told(guide, [read(guide, 'spring-a', open)]);
    expectSound(all);
    expect(all.going.kind).toBe('open');
    expect(all.ended.kind).toBe('unknown');
  });

  test('one fault alone has a weight: a reading that it does not explain does not convict it', () => {
    const weights = (mode: FaultMode) => ({
      open: 0,
      high: 0,
      short: 0,
      film: 0,
      weak: 0,
      intermittent: 0,
      stuck: 0,
      leaky: 0,
      welded: 0,
      [mode]: 1,
    });
    const none = Object.fromEntries(Object.keys(weights('open')).map((mode) => [mode, 0]));
    const links = recorder.links.map((link) => ({
      ...link,
      weights: link.id === 'cell-plug' ? { ...none, open: 1 } : none,
    }));
    const all = told({ ...recorder, links }, [read(recorder, 'spring-a', open), read(recorder, 'spring-b', open)]);
    expectSound(all);
    expect(all.ended.kind).not.toBe('fault');
  });
});

test('any evidence about any guide, with no chance at all for errors, leaves probabilities that are sound', () => {
  const cases = anyGuide.chain((guide) => {
    const sure = { ...guide, wrongPad: 0, eyes: { miss: 0, falseAlarm: 0 } };
    return fc.tuple(
      fc.constant(sure),
      fc.tuple(evidenceOf(sure), evidenceOf(sure)).map(([a, b]) => [...a, ...b]),
    );
  });
  fc.assert(
    fc.property(cases, ([guide, evidence]) => expectSound(told(guide, evidence))),
    { seed: 9, numRuns: runs(80), endOnFailure: true },
  );
});
