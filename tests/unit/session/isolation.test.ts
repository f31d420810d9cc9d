import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { parseGuide } from '../../../src/checks/guides.ts';
import type { Outcome } from '../../../src/measure/types.ts';
import { historyOf } from '../../../src/record/state/evidence-history.ts';
import { emptyJob } from '../../../src/record/state/fold.ts';
import type { CheckState, JobState } from '../../../src/record/state/job-state.ts';
import { isolatorOf } from '../../../src/session/job/guide-isolator.ts';
import type { JobSessionEvent } from '../../../src/session/job/job-session-state.ts';
import { captured, type DryBench, make, testGuide } from '../../support/dry-bench.ts';
import { DrySession } from '../faces/scenes.ts';

const swapped: JobSessionEvent = { type: 'swapped', unit: 'key', by: 'person' };

function drySession(): DryBench {
  const how = { isolator: isolatorOf(testGuide()), settings: { order: 'information' as const } };
  return new DrySession(testGuide(), how).opened().bench;
}
const share = ({ state }: DryBench, decision: string): number =>
  state.insight?.belief.decisions.find(({ id }) => id === decision)?.p ?? 0;

describe('with the isolator of a real guide', () => {
  test('a fail raises what it speaks for, and is told in the conclusion with its reading and its pads', () => {
    const bench = drySession();
    const before = share(bench, 'key');
    bench.give({ type: 'jump', check: 'path' }).touch(20);
    expect(share(bench, 'key')).toBeGreaterThan(before);
    while (bench.state.tasks[bench.state.at]?.kind === 'check') {
      bench.give({ type: 'skip', reason: 'enough is known', by: 'person' });
    }
    const { concluded } = bench.state.job;
    expect(concluded?.conclusion).toBe('fault');
    expect(concluded?.decisions[0]).toMatchObject({ id: 'key' });
    expect(concluded?.reasons.join(' ')).toMatch(/P and Q.*20(\.0)? ohm/);
    expect(concluded?.plan.steps[0]?.repair).toBe('fit');
    expect(concluded?.notTested).toEqual(expect.arrayContaining(['idle']));
  });

  test('a repair makes a device that failed likely to be sound, and a pass after it makes it sure; no doubt is made of it', () => {
    const bench = drySession().give({ type: 'jump', check: 'path' }).touch(20).give(swapped);
    const afterSwap = share(bench, 'none');
    expect(afterSwap).toBeGreaterThan(0.5);
    bench.touch(0.2);
    expect(share(bench, 'none')).toBeGreaterThan(afterSwap);
    expect(bench.state.insight?.belief.doubt).toBeNull();
  });

  test('a fail that stays after a repair speaks for the same unit again', () => {
    const bench = drySession().give({ type: 'jump', check: 'path' }).touch(20).give(swapped).touch(20);
    expect(bench.state.insight?.belief.decisions[0]?.id).toBe('key');
  });
});

describe('where no check left tells enough, and that nothing is wrong is likeliest', () => {
  const text = readFileSync(new URL('../../../examples/field-recorder.yaml', import.meta.url), 'utf8');
  const parsed = parseGuide(text.replace('healthy: 6 %', 'healthy: 60 %'), 'recorder');
  if (!parsed.ok) throw new Error(parsed.problems[0]!.what);
  const { guide } = parsed;
  const isolator = isolatorOf(guide);
  const concludedAt = (outcome: Outcome) => {
    const { checks, ...job } = emptyJob();
    const seen = { outcome, attempts: [], withdrawn: 0, inGuide: true } as unknown as CheckState;
    const state: JobState = { ...job, checks: { ...checks, whole: seen } };
    const belief = isolator.believe(state);
    if ('what' in belief) throw new Error(belief.what);
    return isolator.conclude(state, belief, { power: null, access: null, done: guide.checks.map(({ id }) => id) });
  };

  test('nothing but passes is no fault found, with nothing to repair', () => {
    expect(concludedAt('pass')).toMatchObject({ kind: 'none', plan: { steps: [] } });
  });

  test.each(['fail', 'borderline', 'unsteady', 'no-contact', 'live'] as const)('%s is no such thing', (outcome) => {
    expect(concludedAt(outcome).kind).toBe('group');
  });
});

test('the course of a record has its evidence in order, and each repair behind what was measured before it', () => {
  const bench = drySession().give({ type: 'jump', check: 'path' }).touch(20).give(swapped).touch(0.2);
  const { evidence, repaired } = historyOf(bench.state.job);
  expect(evidence.map(({ check }) => check)).toEqual(['path', 'path']);
  expect(repaired).toEqual([{ unit: 'key', after: 1 }]);
});

test('what was withdrawn is no evidence', () => {
  const bench = drySession().give({ type: 'jump', check: 'path' }).happen(make, captured(20));
  bench.give({ type: 'repeat', by: 'person' });
  expect(historyOf(bench.state.job).evidence).toEqual([]);
});
