import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import type { JobSessionEvent } from '../../../src/session/job/job-session-state.ts';
import { tasksAfterChoice } from '../../../src/session/job/task-list.ts';
import { captured, connected, DryBench, lift, make } from '../../support/dry-bench.ts';

const pause: JobSessionEvent = { type: 'pause', on: true };
const goOn: JobSessionEvent = { type: 'pause', on: false };
const jump = (check: string): JobSessionEvent => ({ type: 'jump', check });
const unsteady = (): JobSessionEvent => {
  const { window, contact } = captured(0.2) as Extract<ReturnType<typeof captured>, { kind: 'captured' }>;
  return { type: 'contact', contact: { kind: 'unsteady', tUs: 1_200_000, window, contact, why: 'dropped out' } };
};
const inHand = (bench: DryBench) => bench.state.tasks[bench.state.at];

describe('a pause', () => {
  test('takes nothing, and the check begins anew after it', () => {
    const bench = new DryBench().opened().give(pause).touch(0.2);
    expect(bench.kinds()).not.toContain('capture');
    bench.give(goOn);
    expect(bench.state.run?.stage).toBe('waiting');
    bench.touch(0.2);
    expect(bench.state.job.checks.path?.attempts).toHaveLength(1);
  });

  test('waits for tips that are still on the pads to lift before it goes on', () => {
    const bench = new DryBench().opened().happen(make).give(pause).happen(captured(0.2)).give(goOn);
    expect(bench.state.run?.stage).toBe('lifting');
    bench.happen(captured(0.2));
    expect(bench.kinds()).not.toContain('capture');
    bench.happen(lift).touch(0.2);
    expect(bench.state.job.checks.path?.outcome).toBe('pass');
  });

  test('costs no try', () => {
    const bench = new DryBench().opened();
    for (let i = 0; i < 5; i++) bench.give(pause, goOn);
    expect(bench.state.tries).toBe(1);
  });

  test('keeps watching a touch that is on record: a drop-out takes its pass away', () => {
    const bench = new DryBench().opened().happen(make, captured(0.2)).give(pause, unsteady());
    expect(bench.state.job.checks.path?.outcome).toBe('unsteady');
  });

  test('a recorded touch that lifts meanwhile is done; the next check begins when the person goes on', () => {
    const bench = new DryBench().opened().happen(make, captured(0.2)).give(pause).happen(lift);
    expect(inHand(bench)).toEqual({ kind: 'check', id: 'eyes' });
    expect(bench.state.run?.prompt).toBeNull();
    bench.give(goOn);
    expect(bench.state.run?.stage).toBe('asking');
  });

  test('hears no answer, button, skip, repeat or choice', () => {
    const bench = new DryBench().opened().touch(0.2).give(pause);
    const entries = bench.entries.length;
    bench.answer('yes').give({ type: 'button', long: true, standing: null });
    bench.give({ type: 'skip', reason: 'x', by: 'person' }, { type: 'repeat', by: 'person' }, jump('idle'));
    expect(bench.entries).toHaveLength(entries);
    expect(inHand(bench)).toEqual({ kind: 'check', id: 'eyes' });
  });

  test('a voltage on the tips goes on record all the same', () => {
    const bench = new DryBench().opened().give(pause).happen({ kind: 'live', tUs: 5, on: true });
    expect(bench.kinds()).toContain('live');
  });

  test('outlasts a lost link, and a pause may end while the probe is away', () => {
    const bench = new DryBench().opened().give(pause, { type: 'disconnected', why: 'unplugged' }, connected);
    expect(bench.state.paused).toBe(true);
    bench.touch(0.2);
    expect(bench.kinds()).not.toContain('capture');
    bench.give({ type: 'disconnected', why: 'unplugged' }, goOn, connected).touch(0.2);
    expect(bench.state.job.checks.path?.outcome).toBe('pass');
  });
});

describe('a chosen check', () => {
  test('is done next; the one in hand comes after it, then the rest in the order of the guide', () => {
    const bench = new DryBench().opened().give(jump('idle'));
    expect(inHand(bench)).toEqual({ kind: 'check', id: 'idle' });
    const left = bench.state.tasks
      .slice(bench.state.at)
      .map((task) => ('id' in task ? task.id : task.kind === 'proof' ? task.what : task.kind));
    expect(left).toEqual(['idle', 'path', 'eyes', 'shorted-tips', 'check-resistor']);
  });

  test('waits for the tips to lift, and takes nothing of the touch that was given up', () => {
    const bench = new DryBench().opened().happen(make).give(jump('eyes'));
    expect(bench.state.run?.stage).toBe('lifting');
    bench.happen(captured(0.2)).give(unsteady());
    expect(bench.kinds()).not.toContain('capture');
    bench.happen(lift);
    expect(inHand(bench)).toEqual({ kind: 'check', id: 'eyes' });
  });

  test('that stands on record counts no more until it is done again', () => {
    const bench = new DryBench().opened().touch(0.2).give(jump('path'));
    expect(bench.kinds()).toContain('repeat');
    expect(bench.state.job.checks.path?.outcome).toBeNull();
    bench.touch(0.3);
    expect(bench.state.job.checks.path?.attempts).toHaveLength(2);
    expect(inHand(bench)).toEqual({ kind: 'check', id: 'eyes' });
  });

  test('may be one of a job whose checks are all done: the closing proofs follow it again', () => {
    const bench = new DryBench().opened().touch(0.2).answer('yes').give({ type: 'skip', reason: 'x', by: 'person' });
    bench.touch(0.002).give(jump('idle'));
    expect(inHand(bench)).toEqual({ kind: 'check', id: 'idle' });
    bench.give({ type: 'skip', reason: 'x', by: 'person' }).touch(0.002).happen(make, captured(100));
    expect(bench.state.phase).toBe('closed');
    expect(bench.state.job.proofs.standing).toBe('held');
  });

  test('is refused before the cautions and the opening proofs, and when the guide has no such check', () => {
    const early = new DryBench().give(connected, jump('path'));
    expect(inHand(early)).toMatchObject({ kind: 'caution' });
    const unknown = new DryBench().opened().give(jump('nowhere'));
    expect(inHand(unknown)).toEqual({ kind: 'check', id: 'path' });
  });

  test('that is in hand already is repeated', () => {
    const bench = new DryBench().opened().give(jump('path'));
    expect(bench.entries.at(-1)).toMatchObject({ kind: 'repeat', check: 'path', by: 'person' });
  });
});

test('a skip while the tips are on takes nothing of that touch', () => {
  const bench = new DryBench()
    .opened()
    .happen(make)
    .give({ type: 'skip', reason: 'no power', by: 'person' }, unsteady());
  expect(bench.kinds()).not.toContain('capture');
  bench.happen(lift);
  expect(bench.state.job.checks.path?.skipped?.reason).toBe('no power');
  expect(inHand(bench)).toEqual({ kind: 'check', id: 'eyes' });
});

test('a choice loses no check that was left, and puts none there twice', () => {
  const ids = ['a', 'b', 'c', 'd'];
  const tasks = ids.map((id) => ({ kind: 'check' as const, id }));
  fc.assert(
    fc.property(fc.nat(3), fc.constantFrom(...ids), fc.boolean(), (at, check, done) => {
      const after = tasksAfterChoice(tasks, at, check, done).slice(at + 1);
      const left = after.flatMap((task) => (task.kind === 'check' ? [task.id] : []));
      expect(left[0]).toBe(check);
      expect(new Set(left).size).toBe(left.length);
      for (const id of ids.slice(done ? at + 1 : at)) expect(left).toContain(id);
      expect(after.slice(-2).map((task) => task.kind)).toEqual(['proof', 'proof']);
    }),
  );
});
