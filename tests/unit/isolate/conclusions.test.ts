// The next check, when to stop and what is said then, on the guides of the examples.
import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import type { Evidence } from '../../../src/checks/evidence.ts';
import { parseGuide, predictChecks } from '../../../src/checks/guides.ts';
import type { Check, Guide } from '../../../src/guide/types.ts';
import { believe } from '../../../src/isolate/belief/belief.ts';
import { besideOutcomes } from '../../../src/isolate/next/beside-outcomes.ts';
import { nextCheck, proposals } from '../../../src/isolate/next/next-check.ts';
import { conclude } from '../../../src/isolate/next/stopping.ts';
import { testability } from '../../../src/isolate/next/testability.ts';
import { type Model, openModel } from '../../../src/isolate/predict/model.ts';
import { currentIsolationRules } from '../../../src/isolate/rules/rules.ts';
import type { Belief, Situation } from '../../../src/isolate/types.ts';

const guideOf = (name: string): Guide => {
  const parsed = parseGuide(readFileSync(new URL(`../../../examples/${name}.yaml`, import.meta.url), 'utf8'), name);
  if (!parsed.ok) throw new Error(parsed.problems[0]!.what);
  return parsed.guide;
};
const recorder = guideOf('field-recorder');
const model = openModel(recorder);

function belief(of: Model, evidence: readonly Evidence[]): Belief {
  const told = believe(of, evidence);
  if (!('decisions' in told)) throw new Error(told.what);
  return told;
}
const measured = (value: number) => ({ value, u: 0.005 * value + 0.003, state: 'in-range' as const });
const seenAt = (told: Belief, standing: Partial<Situation> = {}): Situation => ({
  power: 'off',
  access: null,
  done: told.evidence.map(({ check }) => check),
  ...standing,
});

/** What a healthy device shows at a check. */
function healthyEvidence(guide: Guide, check: Check): Evidence {
  const { predicted } = predictChecks(guide).find((one) => one.check === check.id)!;
  const ohm = Math.min(predicted.ohm ?? 0, 1e9);
  const reading = ohm > 1e7 ? ({ value: 1e7, u: 0, state: 'above-range' } as const) : measured(ohm);
  switch (check.kind) {
    case 'look':
      return { check: check.id, kind: 'look', answer: check.passAnswer };
    case 'voltage':
      return {
        check: check.id,
        kind: 'voltage',
        quantity: 'voltage',
        reading: measured(predicted.volt!),
        unsteady: false,
      };
    case 'bridge':
      return { check: check.id, kind: 'bridge', proven: true, idle: measured(predicted.idleVolt!), answer: 'yes' };
    case 'dry-normal':
      return { check: check.id, kind: 'dry-normal', dry: reading, normal: reading };
    case 'presses':
      return { check: check.id, kind: 'presses', closed: reading, bad: 0, count: check.count };
    default:
      return { check: check.id, kind: check.kind, quantity: 'resistance', reading, unsteady: false };
  }
}

describe('the next check', () => {
  test('is the first of the proposals, none of which was done, each worth it', () => {
    const told = belief(model, [{ check: 'look-pads', kind: 'look', answer: 'yes' }]);
    const all = proposals(model, told, seenAt(told, { access: 'key-off' }));
    expect(nextCheck(model, told, seenAt(told, { access: 'key-off' }))).toEqual(all[0]);
    expect(all.map(({ check }) => check)).not.toContain('look-pads');
    for (const { bits, minutes, because } of all) {
      expect(bits).toBeGreaterThanOrEqual(0.02);
      expect(bits).toBeLessThanOrEqual(told.bits + 1e-9);
      expect(minutes).toBeGreaterThan(0);
      expect(because).toMatch(/^It tells .* bit in .* min.*\.$/);
    }
  });

  test('counts what has to be switched and opened for it', () => {
    const told = belief(model, []);
    const at = (standing: Partial<Situation>) =>
      proposals(model, told, seenAt(told, standing)).find(({ check }) => check === 'bridge-springs')!.minutes;
    const ready = at({ power: 'on', access: 'key-off' });
    expect(at({ power: 'off', access: 'key-off' })).toBe(ready + recorder.powerMinutes);
    expect(at({ power: 'on', access: null })).toBe(ready + 7);
  });
});

describe('a guide that thinks nearly every device healthy', () => {
  const own = openModel({ ...recorder, healthy: 0.96 });
  const none = belief(own, []);

  test('settles nothing by opinion: something has to be checked', () => {
    expect(none.decisions[0]).toMatchObject({ id: 'none' });
    expect(none.decisions[0]!.p).toBeGreaterThanOrEqual(recorder.confidence);
    expect(nextCheck(own, none, seenAt(none))).not.toBeNull();
    expect(conclude(own, none, seenAt(none)).kind).toBe('open');
    const one = belief(own, [{ check: 'look-pads', kind: 'look', answer: 'yes' }]);
    expect(conclude(own, one, seenAt(one)).kind).toBe('none');
  });
});

/** A healthy device gone through check by check, as far as checks are proposed. */
function healthyEnd(name: string) {
  const guide = guideOf(name);
  const own = openModel(guide);
  const evidence: Evidence[] = [];
  let standing: Situation = { power: 'off', access: null, done: [] };
  let told = belief(own, evidence);
  for (let next = nextCheck(own, told, standing); next !== null; next = nextCheck(own, told, standing)) {
    const check = guide.checks.find(({ id }) => id === next!.check)!;
    evidence.push(healthyEvidence(guide, check));
    standing = { power: check.power, access: check.access ?? null, done: [...standing.done, check.id] };
    told = belief(own, evidence);
    expect(evidence.length).toBeLessThanOrEqual(guide.checks.length);
  }
  const left = guide.checks.map(({ id }) => id).filter((id) => !standing.done.includes(id));
  return { ...conclude(own, told, standing), left };
}

describe('a healthy device', () => {
  test.each(['field-recorder', 'two-stage-key', 'membrane-keypad'])('%s: passing checks accuse nothing', (name) => {
    const end = healthyEnd(name);
    expect(end.kind === 'none' || end.kind === 'group').toBe(true);
    if (end.kind === 'none') expect(end.plan.steps).toEqual([]);
    expect(end.decisions.map(({ id }) => id)).toContain('none');
    expect(end.notTested).toEqual(end.left);
  });
});

describe('a group that no check tells apart', () => {
  // open between the springs' side and the main board: plug or trace, with nothing left that looks between
  const told = belief(model, [
    { check: 'spring-a', kind: 'resistance', quantity: 'resistance', reading: measured(0.27), unsteady: false },
    {
      check: 'crossing',
      kind: 'resistance',
      quantity: 'resistance',
      reading: { value: 1e7, u: 0, state: 'above-range' },
      unsteady: false,
    },
  ]);

  test('is named, with what would tell it apart', () => {
    const all = { ...seenAt(told), done: recorder.checks.map(({ id }) => id) };
    const end = conclude(model, told, all);
    expect(end.kind).toBe('group');
    expect(end.decisions.length).toBeGreaterThan(1);
    expect(end.decisions.reduce((sum, { p }) => sum + p, 0)).toBeGreaterThanOrEqual(recorder.confidence);
    expect(end.beyond).not.toBeNull();
    expect(end.plan.steps.length).toBeGreaterThan(0);
  });

  test.each(['field-recorder', 'two-stage-key', 'membrane-keypad'])(
    '%s: where all that was done passed, no fault is named and no part is asked for',
    (name) => {
      const end = healthyEnd(name);
      const beside = besideOutcomes(end, ['pass', 'pass'], currentIsolationRules);
      expect(beside.kind).toBe('none');
      expect(beside.plan.steps).toEqual([]);
      const decisions = [{ id: 'main-board', name: 'main board', units: ['main-board'], p: 0.99 }];
      const fault = { ...end, kind: 'fault' as const, decisions };
      expect(besideOutcomes(fault, ['pass'], currentIsolationRules)).toMatchObject({
        kind: 'none',
        plan: { steps: [] },
      });
      expect(besideOutcomes(fault, ['pass', 'fail'], currentIsolationRules).kind).toBe('fault');
    },
  );

  test('names first what was left out and would help', () => {
    const none = belief(model, []);
    const end = conclude(model, none, { power: null, access: null, done: recorder.checks.map(({ id }) => id) });
    expect(end.kind).toBe('group');
    expect(end.beyond).toContain('Whole path with the key held');
  });
});

describe('reasons', () => {
  test('say which reading, on which pads, against what, ruled what out', () => {
    const open = { value: 1e7, u: 0, state: 'above-range' } as const;
    const told = belief(model, [
      { check: 'look-pads', kind: 'look', answer: 'unsure' },
      { check: 'key-closed', kind: 'resistance', quantity: 'resistance', reading: open, unsteady: false },
    ]);
    const { reasons } = conclude(model, told, seenAt(told));
    expect(reasons[0]).toMatch(
      /Record key, held down \(K1 and K2\) read open, where at most 5 ohm is right: that rules out all but the record key unit\./,
    );
    expect(reasons[1]).toContain("'dome' open");
    expect(reasons).toHaveLength(2);
  });

  test('tell a reading to the digits that its uncertainty allows', () => {
    const told = belief(model, [
      {
        check: 'key-closed',
        kind: 'resistance',
        quantity: 'resistance',
        reading: { value: 48.683, u: 1.6, state: 'in-range' },
        unsteady: false,
      },
    ]);
    expect(conclude(model, told, seenAt(told)).reasons[0]).toContain(' 49 ohm');
  });

  test('say that an unproven bridge proves nothing', () => {
    const told = belief(model, [{ check: 'bridge-springs', kind: 'bridge', proven: false, idle: null, answer: 'no' }]);
    const { reasons, kind } = conclude(model, told, seenAt(told));
    expect(kind).toBe('open');
    expect(reasons).toEqual([expect.stringContaining('proves nothing')]);
  });

  test('go over a repair: what passes now speaks for a mended device', () => {
    const film = { check: 'look-pads', kind: 'look' } as const;
    const evidence: Evidence[] = [
      { ...film, answer: 'no' },
      { ...film, answer: 'yes' },
    ];
    const repaired = [{ repair: 'clean', after: 1 }];
    const told = believe(model, evidence, repaired);
    if (!('decisions' in told)) throw new Error(told.what);
    const end = conclude(model, told, seenAt(told), repaired);
    expect(end.reasons.some((reason) => reason.includes('answered yes') && reason.includes('without a fault'))).toBe(
      true,
    );
    expect(end.reasons.filter((reason) => reason.startsWith("After 'clean the contact pads"))).toHaveLength(1);
    expect(end.notTested).not.toContain('look-pads');
    // done before the repair only: to be done again
    const early = conclude(model, told, seenAt(told), [{ repair: 'clean', after: 2 }]);
    expect(early.notTested).toContain('look-pads');
  });
});

describe('what the checks of a guide can find', () => {
  test('is told by rates and groups that belong together', () => {
    for (const name of ['field-recorder', 'two-stage-key', 'membrane-keypad']) {
      const told = testability(openModel(guideOf(name)));
      expect(told.detectionRate).toBeGreaterThan(0.7);
      expect(told.detectionRate).toBeLessThanOrEqual(1);
      expect(told.isolationRate).toBeGreaterThan(0.7);
      expect(told.outside).toEqual([]);
      for (const { decisions, suspects } of told.ambiguity) {
        expect(decisions.length).toBeGreaterThan(1);
        expect(suspects.length).toBeGreaterThanOrEqual(decisions.length);
      }
    }
  });

  test('an open connector and the open trace behind it are one group where no check looks between', () => {
    const checks = recorder.checks.filter(({ id }) => id === 'spring-a' || id === 'crossing');
    const { ambiguity } = testability(openModel({ ...recorder, checks }));
    expect(
      ambiguity.some(({ suspects }) => suspects.includes('plug-a=open') && suspects.includes('trace-rec=open')),
    ).toBe(true);
  });

  test('names a check that no fault changes, and one that a healthy device fails', () => {
    const [first] = recorder.checks.filter(({ id }) => id === 'spring-a') as [Extract<Check, { kind: 'resistance' }>];
    const blind: Check = { ...first, id: 'blind', limits: { quantity: 'resistance', max: 1e12 }, pads: ['M2', 'J2'] };
    const wrong: Check = { ...first, id: 'wrong', limits: { quantity: 'resistance', max: 0.01 } };
    const none: Check = { ...first, id: 'none', kind: 'look', question: 'Is it blue?', passAnswer: 'yes', sees: [] };
    const told = testability(openModel({ ...recorder, checks: [...recorder.checks, blind, wrong, none] }));
    expect(told.useless).toContain('none');
    expect(told.outside).toEqual(['wrong']);
  });

  test('with no checks that look, nothing is found', () => {
    const look = recorder.checks.find(({ kind }) => kind === 'look') as Extract<Check, { kind: 'look' }>;
    const told = testability(openModel({ ...recorder, checks: [{ ...look, sees: [] }] }));
    expect(told.detectionRate).toBeCloseTo(0, 9);
    expect(told.isolationRate).toBe(0);
    expect(told.unseen.reduce((sum, { share }) => sum + share, 0)).toBeCloseTo(1, 9);
  });
});
