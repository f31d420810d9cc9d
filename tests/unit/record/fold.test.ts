import { describe, expect, test } from 'vitest';
import { nominalCalibration } from '../../../src/measure/reading/nominal.ts';
import { foldEntry, foldJob } from '../../../src/record/state/fold.ts';
import {
  captured,
  chainOf,
  observation,
  opened,
  presses,
  probe,
  proof,
  proofs,
  stateOf,
  wholeJob,
} from '../../support/sample-job.ts';

const start = [opened, probe(), ...proofs('opening')];
const allPass = [captured('spring', 0.4), presses('key', [0.2, 0.3]), observation('lens', 'no')];

describe('the fold of a job', () => {
  test('comes to passed when every check passed and the proofs held', () => {
    const state = stateOf(wholeJob());
    expect(state.result).toBe('passed');
    expect(state.proofs.standing).toBe('held');
    expect(state.doubtful).toBe(false);
    expect(state.unfinished).toEqual([]);
    expect(state.counts).toEqual({
      checks: 3,
      passed: 3,
      failed: 0,
      undecided: 0,
      skipped: 0,
      notDone: 0,
      attempts: 4,
      gaps: 1,
      live: 1,
    });
    expect(state.checks.spring?.attempts.map((attempt) => attempt.outcome)).toHaveLength(2);
    expect(state.cautions).toEqual(['cell']);
    expect(state.closed?.result).toBe('passed');
    expect(state.notes).toHaveLength(1);
    expect(state.power).toBe('off');
  });

  test('comes to failed when a check stands at a fail and the proofs held', () => {
    const state = stateOf(wholeJob(47));
    expect(state.checks.spring?.outcome).toBe('fail');
    expect(state.result).toBe('failed');
  });

  test('knows what is left before anything was done', () => {
    const state = stateOf([opened]);
    expect(state.unfinished).toEqual(['spring', 'key', 'lens']);
    expect(state.result).toBe('inconclusive');
    expect(state.counts.notDone).toBe(3);
  });

  test.each(['no-contact', 'unsteady', 'live', 'borderline'] as const)('never takes %s for a pass', (outcome) => {
    const undecided = captured('spring', 0.4, 1, { outcome, capture: null, reading: null, pInside: null });
    const state = stateOf([...start, undecided, ...allPass.slice(1), ...proofs('closing')]);
    expect(state.result).toBe('inconclusive');
    expect(state.unfinished).toEqual(['spring']);
    expect(state.counts.undecided).toBe(1);
  });

  test('never takes a skipped check for a pass, even one that passed before', () => {
    const skip = { kind: 'skipped', check: 'spring', reason: 'no reach', by: 'person' } as const;
    const state = stateOf([...start, ...allPass, skip, ...proofs('closing')]);
    expect(state.result).toBe('inconclusive');
    expect(state.counts).toMatchObject({ passed: 2, skipped: 1 });
    expect(state.unfinished).toEqual([]);
  });

  test('keeps a fail that was skipped after', () => {
    const skip = { kind: 'skipped', check: 'spring', reason: 'seen enough', by: 'person' } as const;
    const state = stateOf([...start, captured('spring', 47), ...allPass.slice(1), skip, ...proofs('closing')]);
    expect(state.result).toBe('failed');
  });

  test('withdraws an outcome when the check is to be repeated', () => {
    const state = stateOf([
      ...start,
      ...allPass,
      { kind: 'repeat', check: 'spring', by: 'button' },
      ...proofs('closing'),
    ]);
    expect(state.checks.spring?.outcome).toBeNull();
    expect(state.checks.spring?.attempts).toHaveLength(1);
    expect(state.unfinished).toEqual(['spring']);
    expect(state.result).toBe('inconclusive');
  });

  test('keeps before beside after', () => {
    const after = captured('spring', 0.3, 2, { phase: 'after' });
    const state = stateOf([...start, captured('spring', 47), after]);
    expect(state.checks.spring).toMatchObject({ outcome: 'pass', before: 'fail', after: 'pass' });
  });

  test('leaves checks that the guide does not list out of the result', () => {
    const state = stateOf([...start, ...allPass, captured('extra', 47), ...proofs('closing')]);
    expect(state.checks.extra).toMatchObject({ inGuide: false, outcome: 'fail' });
    expect(state.result).toBe('passed');
  });

  test('never passes a guide without checks', () => {
    const bare = { ...opened, guide: { ...opened.guide, checks: [] } };
    expect(stateOf([bare, probe(), ...proofs('opening'), ...proofs('closing')]).result).toBe('inconclusive');
  });

  test('finds nothing under the names of Object.prototype, and keeps checks of that name', () => {
    const ids = ['__proto__', 'constructor', 'toString'];
    expect(ids.map((id) => stateOf([opened]).checks[id])).toEqual([undefined, undefined, undefined]);
    const checks = ids.map((id) => ({ id, title: id, kind: 'resistance' }));
    const odd = { ...opened, guide: { ...opened.guide, checks } };
    const state = stateOf([
      odd,
      probe(),
      ...proofs('opening'),
      ...ids.map((id) => captured(id, 0.4)),
      ...proofs('closing'),
    ]);
    expect(state.result).toBe('passed');
  });

  test('does not believe a closing that claims more than the entries bear out', () => {
    const claim = { ...stateOf(wholeJob()).closed!, kind: 'closed' as const };
    const { n: _n, at: _at, prev: _prev, ...closed } = claim;
    expect(stateOf([...start, captured('spring', 0.4), closed]).result).toBe('inconclusive');
  });

  test('does not touch the state that it was given', () => {
    const { entries } = chainOf(wholeJob());
    let state = foldJob(entries.slice(0, 1));
    for (const entry of entries.slice(1)) {
      const before = structuredClone(state);
      const next = foldEntry(state, entry);
      expect(structuredClone(state)).toEqual(before);
      state = next;
    }
  });
});

describe('the proofs of the probe', () => {
  test('make everything since the opening doubtful when the closing one fails', () => {
    const state = stateOf([
      ...start,
      ...allPass,
      proof('closing', 'shorted-tips', 5),
      proof('closing', 'check-resistor'),
    ]);
    expect(state.proofs.standing).toBe('failed');
    expect(state.doubtful).toBe(true);
    expect(state.checks.spring?.doubtful).toBe(true);
    expect(state.checks.lens?.doubtful).toBe(false);
    expect(state.result).toBe('inconclusive');
  });

  test('make a fail inconclusive when they fail, but not a fail that was seen', () => {
    const failed = [proof('closing', 'shorted-tips', 5), proof('closing', 'check-resistor')];
    expect(stateOf([...start, captured('spring', 47), ...failed]).result).toBe('inconclusive');
    expect(stateOf([...start, observation('lens', 'yes'), ...failed]).result).toBe('failed');
  });

  test('that are missing make a closed job doubtful, an open one not yet', () => {
    const open = stateOf([...start, ...allPass]);
    expect(open.proofs.standing).toBe('missing');
    expect(open.doubtful).toBe(false);
    const { n: _n, at: _at, prev: _prev, ...closed } = stateOf(wholeJob()).closed!;
    const shut = stateOf([...start, ...allPass, { ...closed, result: 'inconclusive', proofs: 'missing' }]);
    expect(shut.doubtful).toBe(true);
    expect(shut.result).toBe('inconclusive');
  });

  test('count by their latest try', () => {
    const state = stateOf([...start, ...allPass, proof('closing', 'shorted-tips', 5), ...proofs('closing')]);
    expect(state.proofs.standing).toBe('held');
    expect(state.result).toBe('passed');
  });

  test('that held serve as opening proofs of what is captured after', () => {
    const again = captured('spring', 0.5, 2, { phase: 'after' });
    const state = stateOf([...start, ...allPass, ...proofs('closing'), again]);
    expect(state.proofs.opening['shorted-tips']?.outcome).toBe('pass');
    expect(state.proofs.closing).toEqual({});
    expect(state.proofs.standing).toBe('missing');
    expect(
      foldJob(chainOf([...start, ...allPass, ...proofs('closing'), again, ...proofs('closing')]).entries).result,
    ).toBe('passed');
  });

  test('that failed ask for an opening proof again before anything else counts', () => {
    const bad = proof('closing', 'shorted-tips', 5);
    const again = captured('spring', 0.5, 2);
    const state = stateOf([...start, captured('spring', 0.4), bad, again, ...proofs('closing')]);
    expect(state.proofs.opening).toEqual({});
    expect(state.proofs.standing).toBe('missing');
  });

  test('are those of one probe and one calibration', () => {
    const other = { ...nominalCalibration, id: 'other' };
    expect(stateOf([...start, probe(99)]).proofs.opening).toEqual({});
    expect(stateOf([...start, probe(undefined, other)]).proofs.opening).toEqual({});
    expect(stateOf([...start, probe()]).proofs.opening['shorted-tips']?.outcome).toBe('pass');
  });

  test('of another probe do not cover what the first one captured', () => {
    const capture = captured('key', 0.4);
    const of99 = [...proofs('opening'), capture, ...proofs('closing')].map((entry) => ({
      ...entry,
      capture: { ...entry.capture!, probeSerial: 99 },
    }));
    const state = stateOf([...start, captured('spring', 0.4), probe(99), ...of99, observation('lens', 'no')]);
    expect(state.counts.passed).toBe(3);
    expect(state.proofs.standing).toBe('missing');
    expect(state.result).toBe('inconclusive');
  });
});
