// The trade's rules of thumb about keys, contacts and bridges. Common practice, no source: every one of them.
import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import type { Evidence } from '../../src/checks/evidence.ts';
import { parseGuide } from '../../src/checks/guides.ts';
import { believe } from '../../src/isolate/belief/belief.ts';
import { nextCheck } from '../../src/isolate/next/next-check.ts';
import { conclude } from '../../src/isolate/next/stopping.ts';
import { openModel } from '../../src/isolate/predict/model.ts';
import { notInGuide } from '../../src/isolate/suspects/suspects.ts';
import type { Belief, Situation } from '../../src/isolate/types.ts';

const parsed = parseGuide(
  readFileSync(new URL('../../examples/field-recorder.yaml', import.meta.url), 'utf8'),
  'recorder',
);
if (!parsed.ok) throw new Error(parsed.problems[0]!.what);
const model = openModel(parsed.guide);

const contacts = 'key-unit|jack-board';
const boards = 'jack-board|main-board';

function belief(...evidence: Evidence[]): Belief {
  const told = believe(model, evidence);
  if (!('decisions' in told)) throw new Error(told.what);
  return told;
}

function share(told: Belief, id: string): number {
  return told.decisions.find((one) => one.id === id)?.p ?? 0;
}

const standing = (told: Belief): Situation => ({
  power: 'off',
  access: 'key-off',
  done: told.evidence.map(({ check }) => check),
});

const bridge = (answer: 'yes' | 'no', proven = true): Evidence => ({
  check: 'bridge-springs',
  kind: 'bridge',
  proven,
  idle: null,
  answer,
});
const seen = (check: string, answer: 'yes' | 'no'): Evidence => ({ check, kind: 'look', answer });
const ohm = (check: string, value: number): Evidence => ({
  check,
  kind: 'resistance',
  quantity: 'resistance',
  reading: { value, u: 0.01 * value + 0.005, state: 'in-range' },
  unsteady: false,
});
const openPath = { value: 10e6, u: 0, state: 'above-range' } as const;
/** The dead key: with everything fitted and the key held down, nothing joins the line to ground but the pull-up and the supply's load. */
const pulledUp = { value: 49.3e3, u: 500, state: 'in-range' } as const;
const deadKey: Evidence = { check: 'whole', kind: 'dry-normal', dry: pulledUp, normal: pulledUp };
/** A film: much at the dry level, little once it is broken through. */
const filmed: Evidence = {
  check: 'whole',
  kind: 'dry-normal',
  dry: { value: 14e3, u: 150, state: 'in-range' },
  normal: { value: 22, u: 0.3, state: 'in-range' },
};
const neverCloses: Evidence = {
  check: 'key-closed',
  kind: 'resistance',
  quantity: 'resistance',
  reading: openPath,
  unsteady: false,
};

describe('a response to the bridge of a device whose key is dead (common practice, no source)', () => {
  const dead = belief(deadKey);
  const told = belief(deadKey, bridge('yes'));

  test('clears what lies inward', () => {
    for (const inward of ['jack-board', 'main-board', boards]) {
      expect(share(told, inward)).toBeLessThan(share(dead, inward) / 4);
    }
  });

  test("leaves the key's own unit and its contacts", () => {
    expect(share(told, 'key-unit') + share(told, contacts)).toBeGreaterThan(0.9);
  });
});

describe('no response, with the bridge known to conduct (common practice, no source)', () => {
  const told = belief(bridge('no'));

  test('leaves what lies inward', () => {
    const inward =
      share(told, 'jack-board') + share(told, boards) + share(told, 'main-board') + share(told, 'main-board|cell');
    // of what the guide holds: an input that never answers is inward too, and no fault of it
    expect(inward / (1 - share(told, 'unknown'))).toBeGreaterThan(0.9);
  });

  test('a connector or the board on the way is likelier than the main board', () => {
    expect(share(told, 'jack-board') + share(told, boards)).toBeGreaterThan(share(told, 'main-board'));
  });
});

describe('a bridge that is not known to conduct (common practice, no source)', () => {
  test.each(['yes', 'no'] as const)('proves nothing, whatever the device did: %s', (answer) => {
    const before = belief(deadKey);
    const after = belief(deadKey, bridge(answer, false));
    for (const { id, p } of before.decisions) expect(share(after, id)).toBeCloseTo(p, 12);
    const told = conclude(model, after, standing(after));
    expect(told.notTested).toContain('bridge-springs');
  });
});

describe('crusted contact pads (common practice, no source)', () => {
  const told = belief(filmed, seen('look-pads', 'no'));

  test('are cleaned and tested again before anything is replaced', () => {
    const { plan } = conclude(model, told, standing(told));
    expect(plan.steps[0]!.repair).toBe('clean');
    expect(plan.steps[0]!.p).toBeGreaterThan(0.5);
    expect(plan.expectedPrice).toBeLessThan(plan.usual!.expectedPrice);
  });
});

describe('clean pads, a passing bridge and a dead key (common practice, no source)', () => {
  const told = belief(deadKey, bridge('yes'), seen('look-pads', 'yes'));

  test('are the key unit, or springs with too little force', () => {
    const { suspects } = told;
    const left = suspects.filter(
      ({ decision, faults }) =>
        decision === 'key-unit' || (decision === contacts && faults.every(({ mode }) => mode !== 'film')),
    );
    expect(left.reduce((sum, { p }) => sum + p, 0)).toBeGreaterThan(0.85);
  });

  test('springs that stand low are formed up and tested before the key unit is replaced', () => {
    const low = belief(bridge('yes'), seen('look-pads', 'yes'), seen('look-springs', 'no'));
    const { plan } = conclude(model, low, standing(low));
    const order = plan.steps.map(({ repair }) => repair);
    expect(order[0]).toBe('re-tension');
    expect(order.indexOf('new-key') === -1 || order.indexOf('new-key') > 0).toBe(true);
  });

  test('a key unit that closes well leaves the springs, one that does not is the fault', () => {
    const good = belief(bridge('yes'), seen('look-pads', 'yes'), ohm('key-closed', 1.2), deadKey);
    expect(share(good, contacts)).toBeGreaterThan(share(good, 'key-unit'));
    const bad = belief(bridge('yes'), seen('look-pads', 'yes'), neverCloses);
    // lacquer on the unit's pads would read the same: they are wiped before it is replaced
    expect(share(bad, 'key-unit')).toBeGreaterThan(0.85);
    expect(share(bad, 'key-unit') + share(bad, notInGuide)).toBeGreaterThan(0.9);
  });
});

describe('what comes next (common practice, no source)', () => {
  test('is not another check once the unit is known', () => {
    const told = belief(bridge('yes'), neverCloses, deadKey);
    expect(conclude(model, told, standing(told)).kind).toBe('fault');
    expect(nextCheck(model, told, standing(told))).toBeNull();
  });

  test('stays within the state of the device while that is worth it', () => {
    const told = belief(seen('look-pads', 'yes'));
    const next = nextCheck(model, told, standing(told))!;
    const check = parsed.ok ? parsed.guide.checks.find(({ id }) => id === next.check)! : null;
    expect(check!.access).toBe('key-off');
  });
});
