import { describe, expect, test } from 'vitest';
import { attemptsThatCount, evidenceByRepair } from '../../../src/record/state/evidence-history.ts';
import type { JobSessionEvent } from '../../../src/session/job/job-session-state.ts';
import { captured, connected, DryBench, lift, make, testGuide } from '../../support/dry-bench.ts';
import { DrySession } from '../faces/scenes.ts';
import { madeIsolator } from '../session/made-isolator.ts';

const unsteady = (): JobSessionEvent => {
  const { window, contact } = captured(0.2) as Extract<ReturnType<typeof captured>, { kind: 'captured' }>;
  return { type: 'contact', contact: { kind: 'unsteady', tUs: 1_200_000, window, contact, why: 'dropped out' } };
};
const drySession = () =>
  new DrySession(testGuide(), { isolator: madeIsolator(['path', 'eyes']).isolator }).opened().bench;
const counted = ({ state }: DryBench) => attemptsThatCount(state.job, state.job.repairs.length);

describe('what counts of a record', () => {
  test('is the latest try of a check: tries of one touch are no evidence each', () => {
    const bench = drySession().touch(1).touch(1).touch(0.2);
    expect(bench.state.job.checks.path?.attempts).toHaveLength(3);
    expect(counted(bench)).toHaveLength(1);
    expect(counted(bench)[0]?.evidence).toMatchObject({ kind: 'resistance', check: 'path', unsteady: false });
  });

  test('is an unsteady try beside the steady one after it', () => {
    const bench = drySession().happen(make).give(unsteady()).happen(lift).touch(0.2);
    expect(counted(bench).map(({ evidence }) => 'unsteady' in evidence && evidence.unsteady)).toEqual([true, false]);
  });

  test('is not what was withdrawn', () => {
    const bench = drySession().happen(make, captured(5)).give({ type: 'repeat', by: 'person' });
    expect(counted(bench)).toEqual([]);
    expect(counted(bench.happen(lift).touch(0.2))).toHaveLength(1);
  });

  test('stands apart before and after a repair', () => {
    const bench = drySession().touch(5).give({ type: 'swapped', unit: 'key', by: 'person' }).touch(0.2);
    const [before, after] = evidenceByRepair(bench.state.job);
    expect(before?.map(({ n }) => n)).toEqual([bench.state.job.checks.path?.attempts[0]?.n]);
    expect(after?.map(({ n }) => n)).toEqual([bench.state.job.checks.path?.attempts[1]?.n]);
  });

  test('is in the order of the record, whatever the order of the guide', () => {
    const bench = drySession().give({ type: 'jump', check: 'eyes' }).answer('yes').touch(0.2);
    expect(counted(bench).map(({ evidence }) => evidence.check)).toEqual(['eyes', 'path']);
  });

  test('is nothing of a check that the guide does not list', () => {
    const bench = new DryBench().give(connected).answer('yes').answer('yes').touch(0.002).happen(make, captured(100));
    expect(counted(bench.touch(0.2))).toEqual([]);
  });
});
