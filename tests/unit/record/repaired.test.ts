import { describe, expect, test } from 'vitest';
import type { NewEntry } from '../../../src/record/entries/entries.ts';
import { verifyRecord } from '../../../src/verify/verify.ts';
import {
  captured,
  chainOf,
  type NewOf,
  observation,
  opened,
  presses,
  probe,
  proof,
  proofs,
  stateOf,
} from '../../support/sample-job.ts';

const start = [opened, probe(), ...proofs('opening')];
const repair: NewEntry = {
  kind: 'repair',
  what: 'repair',
  repair: 'clean',
  unit: null,
  text: 'clean the pads',
  by: 'person',
};
const swap: NewEntry = { ...repair, what: 'swap', repair: null, unit: 'board', text: 'board swapped' };
const concluded = (conclusion: NewOf<'concluded'>['conclusion']): NewOf<'concluded'> => ({
  kind: 'concluded',
  conclusion,
  decisions: [{ id: 'board', name: 'board', p: 0.97 }],
  reasons: ['because'],
  doubt: null,
  plan: { steps: [], expectedPrice: 0, expectedMinutes: 0, left: 1, usual: null, currency: null },
  notTested: ['lens'],
  beyond: null,
  evidence: [5],
});
const after = { phase: 'after' as const };
const again = captured('spring', 0.4, 2, after);
const failed = captured('spring', 47);
const result = (...entries: Parameters<typeof stateOf>[0]) => stateOf([...start, ...entries]).result;

describe('the place that was found', () => {
  const found = (...entries: Parameters<typeof stateOf>[0]) =>
    stateOf([...start, ...entries]).found?.conclusion ?? null;

  test('stays through repair and what is measured after it', () => {
    expect(found(failed)).toBeNull();
    expect(found(failed, concluded('fault'))).toBe('fault');
    expect(found(failed, concluded('group'), repair, again)).toBe('group');
    expect(found(failed, concluded('fault'), repair, again, concluded('none'))).toBe('fault');
  });

  test('is taken back by a later conclusion about the same device that names none', () => {
    expect(found(failed, concluded('fault'), again, concluded('none'))).toBeNull();
    expect(found(failed, concluded('fault'), again, concluded('unknown'))).toBeNull();
  });
});

describe('a job with a repair', () => {
  test('comes to repaired when what failed passes after it, and all that was done before does', () => {
    const key = presses('key', [0.2, 0.3]);
    const keyAgain = { ...presses('key', [0.2, 0.3], 2), ...after };
    expect(result(failed, key, repair, again, keyAgain, ...proofs('closing'))).toBe('repaired');
    expect(result(failed, key, repair, again, ...proofs('closing'))).toBe('inconclusive');
    expect(result(failed, key, swap, again, keyAgain, ...proofs('closing'))).toBe('repaired');
  });

  test('never rests on a pass from before the repair', () => {
    const state = stateOf([...start, captured('spring', 0.4), repair, ...proofs('closing')]);
    expect(state.checks.spring).toMatchObject({ outcome: null, before: 'pass', after: null, redo: true });
    expect(state.result).toBe('inconclusive');
  });

  test('keeps before beside after, and starts after anew with the next repair', () => {
    const state = stateOf([...start, failed, repair, captured('spring', 47, 2, after), repair]);
    expect(state.checks.spring).toMatchObject({ before: 'fail', after: null, outcome: null });
    expect(state.checks.spring?.attempts.map(({ repairs }) => repairs)).toEqual([0, 1]);
    expect(state.repairs).toHaveLength(2);
  });

  test('comes to failed when the fail is still there', () => {
    expect(result(failed, repair, captured('spring', 47, 2, after), ...proofs('closing'))).toBe('failed');
  });

  test('is not repaired without a fail before it, nor when that fail was withdrawn', () => {
    const pass = [captured('spring', 0.4), repair, again];
    expect(result(...pass, ...proofs('closing'))).toBe('inconclusive');
    const withdrawn: NewEntry = { kind: 'repeat', check: 'spring', by: 'person' };
    expect(result(failed, withdrawn, repair, again, ...proofs('closing'))).toBe('inconclusive');
  });

  test('is repaired, too, when a contact that came and went was concluded to be the fault', () => {
    const unsteady = captured('spring', 0.4, 1, { outcome: 'unsteady', capture: null, reading: null, pInside: null });
    const end = [again, ...proofs('closing')];
    expect(result(unsteady, concluded('fault'), repair, ...end)).toBe('repaired');
    for (const other of ['group', 'open', 'none'] as const)
      expect(result(unsteady, concluded(other), repair, ...end)).toBe('inconclusive');
    expect(result(unsteady, repair, ...end)).toBe('inconclusive');
    for (const outcome of ['no-contact', 'live', 'borderline'] as const)
      expect(result({ ...unsteady, outcome }, concluded('fault'), repair, ...end)).toBe('inconclusive');
  });

  test.each(['no-contact', 'unsteady', 'live', 'borderline'] as const)(
    'never takes %s after it for a pass',
    (outcome) => {
      const undecided = captured('spring', 0.4, 2, { ...after, outcome, capture: null, reading: null, pInside: null });
      expect(result(failed, repair, undecided, ...proofs('closing'))).toBe('inconclusive');
    },
  );

  test('is not repaired when a check was skipped in place of being done again', () => {
    const skip: NewEntry = { kind: 'skipped', check: 'spring', reason: 'in a hurry', by: 'person' };
    expect(result(failed, repair, skip, ...proofs('closing'))).toBe('inconclusive');
  });

  test('is not repaired when the probe did not prove itself afterwards', () => {
    const bad = [proof('closing', 'shorted-tips', 5), proof('closing', 'check-resistor')];
    expect(result(failed, repair, again, ...bad)).toBe('inconclusive');
    expect(result(failed, repair, again)).toBe('inconclusive');
  });
});

describe('no fault found', () => {
  const pass = captured('spring', 0.4);

  test('is a result of its own: concluded so, something done, nothing but passes, not all done, proofs held', () => {
    expect(result(pass, concluded('none'), ...proofs('closing'))).toBe('no-fault-found');
    expect(result(pass, ...proofs('closing'))).toBe('inconclusive');
    expect(result(pass, concluded('fault'), ...proofs('closing'))).toBe('inconclusive');
    expect(result(concluded('none'), ...proofs('closing'))).toBe('inconclusive');
    expect(result(pass, concluded('none'))).toBe('inconclusive');
  });

  test('gives way to passed when everything was done', () => {
    const rest = [presses('key', [0.2, 0.3]), observation('lens', 'no')];
    expect(result(pass, ...rest, concluded('none'), ...proofs('closing'))).toBe('passed');
  });

  test('does not outlive what was measured, repeated or skipped after it', () => {
    const later: NewEntry[] = [
      captured('key', 0.4),
      { kind: 'repeat', check: 'spring', by: 'person' },
      { kind: 'skipped', check: 'key', reason: 'no reach', by: 'person' },
      repair,
    ];
    for (const entry of later) {
      const state = stateOf([...start, pass, concluded('none'), entry]);
      expect(state.concluded).toBeNull();
      expect(result(pass, concluded('none'), entry, ...proofs('closing'))).not.toBe('no-fault-found');
    }
  });

  test('is not said where something was unknown before a repair', () => {
    const unsteady = captured('spring', 0.4, 1, { outcome: 'unsteady', capture: null, reading: null, pInside: null });
    expect(result(pass, repair, again, concluded('none'), ...proofs('closing'))).toBe('no-fault-found');
    expect(result(unsteady, repair, again, concluded('none'), ...proofs('closing'))).toBe('inconclusive');
  });

  test('is not said beside an outcome that is unknown', () => {
    const unsteady = captured('key', 0.4, 1, { outcome: 'unsteady', capture: null, reading: null, pInside: null });
    expect(result(pass, unsteady, concluded('none'), ...proofs('closing'))).toBe('inconclusive');
  });
});

test('chains like any other entry', () => {
  expect(chainOf([...start, failed, concluded('fault'), repair]).entries.map(({ kind }) => kind)).toContain('repair');
});

describe('verifying a record with a repair', () => {
  const codesOf = (...entries: NewEntry[]) =>
    verifyRecord(chainOf([...start, ...entries]).bytes).departures.map(({ code }) => code);

  test('holds nothing against one that is in order', () => {
    expect(codesOf(failed, { ...concluded('fault'), evidence: [5] }, repair, again)).toEqual([]);
  });

  test('finds an attempt that claims the other phase, and evidence that is not there', () => {
    expect(codesOf(failed, repair, captured('spring', 0.4, 2))).toEqual(['flow.phase']);
    expect(codesOf({ ...failed, ...after })).toEqual(['flow.phase']);
    expect(codesOf(failed, { ...concluded('fault'), evidence: [2, 5, 9] })).toEqual(['flow.evidence']);
  });
});
