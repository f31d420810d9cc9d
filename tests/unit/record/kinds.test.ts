import { describe, expect, test } from 'vitest';
import { flagBits } from '../../../src/protocol/table.ts';
import type { NewEntry } from '../../../src/record/entries/entries.ts';
import { evidenceOf, isAttempt } from '../../../src/record/kinds/stored-kinds.ts';
import { verifyRecord } from '../../../src/verify/verify.ts';
import { captured, chainOf, observation, presses, stateOf } from '../../support/sample-job.ts';
import { bridge, jobOf, levels, steady, voltsOf } from './kinds-job.ts';

/** Codes of what `verify` finds in a record of one attempt. */
function found(entry: NewEntry): string[] {
  return verifyRecord(chainOf(jobOf(entry)).bytes).departures.map(({ code }) => code);
}

function evidence(entry: NewEntry) {
  const stored = chainOf([entry]).entries[0]!;
  return isAttempt(stored) ? evidenceOf(stored) : null;
}

const proven = bridge('key', 0.01, 'yes');
const unproven = bridge('key', 1.79, 'yes');
const film = levels('spring', 30, 0.4);
const held = steady('spring', [1, 1.02]);

describe('verify works out again', () => {
  test.each([
    ['a bridge that passed', proven, 'pass'],
    ['a bridge that failed', bridge('key', 0.01, 'no'), 'fail'],
    ['a bridge that was not sure', bridge('key', 0.01, 'unsure'), 'borderline'],
    ['a bridge that was not proven', unproven, 'borderline'],
    ['a touch without a film', levels('spring', 0.4, 0.4), 'pass'],
    ['a touch with a film', film, 'fail'],
    ['a hold that was still', held, 'pass'],
    ['a hold that wandered', steady('spring', [1, 2]), 'fail'],
    ['a hold that dropped out', steady('spring', [1, 1], 2), 'fail'],
  ] as const)('%s', (_, entry, outcome) => {
    expect(entry.outcome).toBe(outcome);
    expect(found(entry)).toEqual([]);
  });

  test('and counts what it worked out', () => {
    const { counters, ok } = verifyRecord(chainOf(jobOf(proven, film, { ...held, attempt: 2 })).bytes);
    expect(ok).toBe(true);
    expect(counters).toMatchObject({ bridges: 1, levels: 1, holds: 1, derived: 7, withheld: 0 });
  });
});

describe('verify finds', () => {
  const closed = proven.closed!;
  const { hold, span } = held;
  test.each<[string, NewEntry, string]>([
    ['an unproven closure that is called proven', { ...unproven, proven: true }, 'derive.proven'],
    [
      'an unproven closure that is called a pass',
      { ...unproven, answer: 'yes', by: 'person', outcome: 'pass' },
      'derive.outcome',
    ],
    ['a proven closure that is called unproven', { ...proven, proven: false }, 'derive.proven'],
    ['a pass without a closure', { ...proven, closed: null }, 'derive.proven'],
    ['a pass that nobody answered for', { ...proven, answer: null, by: null }, 'derive.outcome'],
    ['an answer that nobody gave', { ...proven, by: null }, 'derive.outcome'],
    ['a pass on a no', { ...proven, answer: 'no' }, 'derive.outcome'],
    ['a pass on a response from before', { ...proven, respondedBefore: true }, 'derive.outcome'],
    ['another share of collapse', { ...bridge('key', 0.7, 'yes'), collapse: 0.9 }, 'derive.proven'],
    [
      'closed codes of an open bridge',
      { ...proven, closed: { ...closed, windows: [voltsOf(0.01, 330)] } },
      'evidence.mode',
    ],
    [
      'idle codes of a closed bridge',
      { ...proven, idle: { ...proven.idle!, window: voltsOf(1.8, 27, flagBits.bridge) } },
      'evidence.mode',
    ],
    ['other idle codes', { ...proven, idle: { ...proven.idle!, window: voltsOf(1.9) } }, 'derive.reading'],
    [
      'another closed voltage',
      { ...proven, closed: { ...closed, reading: { ...closed.reading!, value: 0.3 } } },
      'derive.reading',
    ],
    ['a yes by light without light', { ...proven, by: 'light' }, 'derive.outcome'],
    [
      'a no by light with light',
      { ...proven, by: 'light', answer: 'no', outcome: 'fail', light: [{ tUs: 1_200_000, code: 400 }] },
      'derive.outcome',
    ],
    ['another delay', { ...proven, by: 'light', light: [{ tUs: 1_200_000, code: 400 }], delayUs: 5 }, 'derive.reading'],
    ['light that came too late', { ...proven, by: 'light', light: [{ tUs: 2_200_000, code: 400 }] }, 'derive.outcome'],
    ['a film that is called a pass', { ...film, outcome: 'pass' }, 'derive.outcome'],
    ['another factor', { ...film, factor: 100 }, 'derive.outcome'],
    ['the levels the other way round', { ...film, dry: film.normal, normal: film.dry }, 'evidence.level'],
    ['a pass on one level', { ...film, normal: null, outcome: 'pass' }, 'derive.outcome'],
    [
      'a drop-out that is called a pass',
      { ...held, hold: { ...hold!, dropOuts: { ...hold!.dropOuts, count: 1 } } },
      'derive.outcome',
    ],
    ['another span', { ...held, span: { ...span!, maxOhm: 9 } }, 'derive.reading'],
    [
      'buckets that make no sense',
      { ...held, hold: { ...hold!, buckets: [{ ...hold!.buckets[0]!, mean: 1 }] } },
      'evidence.hold',
    ],
    ['a pass without a hold', { ...held, hold: null, span: null }, 'derive.outcome'],
    ['a pass on too short a hold', { ...held, hold: { ...hold!, heldUs: 1_000_000 } }, 'derive.outcome'],
    ['codes of another level', { ...held, level: 'dry' }, 'evidence.level'],
    ['a calibration that the record does not hold', { ...proven, calibration: 'other' }, 'evidence.calibration'],
    ['another probe', { ...proven, probeSerial: 1 }, 'evidence.probe'],
    ['an attempt out of turn', { ...proven, attempt: 2 }, 'order.attempt'],
  ])('%s', (_, entry, code) => {
    expect(found(entry)).toContain(code);
  });
});

describe('what an attempt says about the device', () => {
  test.each([
    ['a capture', captured('spring', 0.4), { kind: 'resistance', quantity: 'resistance', unsteady: false }],
    [
      'an unsteady capture',
      captured('spring', 0.4, 1, { outcome: 'unsteady' }),
      { kind: 'resistance', unsteady: true },
    ],
    ['presses', presses('key', [0.2, 0.3, 9]), { kind: 'presses', bad: 1, count: 3 }],
    ['an observation', observation('lens', 'no'), { kind: 'look', answer: 'no' }],
    ['a bridge', proven, { kind: 'bridge', proven: true, answer: 'yes' }],
    ['an unproven bridge', unproven, { kind: 'bridge', proven: false, answer: 'unsure' }],
    [
      'a response from before',
      { ...proven, respondedBefore: true, outcome: 'borderline' as const },
      { answer: 'unsure' },
    ],
    [
      'a bridge whose idle voltage did not settle',
      { ...proven, closed: null, proven: false, outcome: 'unsteady' as const },
      { idle: null },
    ],
    [
      'a hold that met an opening at first',
      { ...steady('spring', [1, 1], 2), reading: { ...held.reading!, value: 99, state: 'above-range' as const } },
      { unsteady: true, reading: { state: 'in-range', value: expect.closeTo(1, 1) } },
    ],
    ['two levels', film, { kind: 'dry-normal' }],
    ['a hold', held, { kind: 'steady', unsteady: false }],
    ['a hold that dropped out', steady('spring', [1, 1], 2), { kind: 'steady', unsteady: true }],
  ])('%s', (_, entry, expected) => {
    expect(evidence(entry)).toMatchObject(expected);
  });

  test.each([
    ['no contact', captured('spring', 0.4, 1, { outcome: 'no-contact', capture: null, reading: null })],
    ['a live tip', captured('spring', 0.4, 1, { outcome: 'live' })],
    ['a hold that was cut short', { ...held, outcome: 'unsteady' as const }],
    ['a touch that lifted between the levels', { ...film, normal: null, outcome: 'unsteady' as const }],
  ])('%s says nothing', (_, entry) => {
    expect(evidence(entry)).toBeNull();
  });

  test('the press in the middle stands for all of them', () => {
    const { closed } = evidence(presses('key', [0.2, 0.31, 9])) as { closed: { value: number } };
    expect(closed.value).toBeCloseTo(0.31, 1);
  });

  test('stands beside the attempt in the state of the job', () => {
    const state = stateOf(jobOf(proven));
    expect(state.checks.key?.attempts[0]).toMatchObject({
      kind: 'bridge',
      evidence: { kind: 'bridge', proven: true },
    });
  });
});

test('a job does not pass on a bridge that is not proven', () => {
  const others = [levels('spring', 0.4, 0.4), observation('lens', 'no')];
  expect(stateOf(jobOf(proven, ...others)).result).toBe('passed');
  expect(stateOf(jobOf(unproven, ...others)).result).toBe('inconclusive');
});
