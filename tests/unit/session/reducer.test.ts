import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { entrySchema } from '../../../src/record/entries/entries.ts';
import type { JobSessionEvent } from '../../../src/session/job/job-session-state.ts';
import { captured, connected, DryBench, lift, make } from '../../support/dry-bench.ts';
import { runs } from '../../support/runs.ts';

describe('a session', () => {
  test('goes from cautions over proofs and checks to a closed job', () => {
    const bench = new DryBench().opened().touch(0.2).answer('yes');
    expect(bench.state.tasks[bench.state.at]).toEqual({ kind: 'check', id: 'idle' });
    expect(bench.kinds()).toEqual(
      expect.arrayContaining(['probe', 'caution', 'proof', 'power', 'capture', 'observation']),
    );
    const capture = bench.entries.find((e) => e.kind === 'capture');
    expect(capture).toMatchObject({ check: 'path', attempt: 1, outcome: 'pass', by: 'settled' });
    expect(entrySchema.safeParse(capture).success).toBe(true);
  });

  test('has the drift of its probe on record with the calibration, and in its state', () => {
    const drift = 'DRIFTS: check resistor since about 2031-03-17';
    const bench = new DryBench().give({ ...connected, drift } as JobSessionEvent);
    expect(bench.entries.find((e) => e.kind === 'probe')).toMatchObject({ calibrationState: `nominal; ${drift}` });
    expect(bench.state.probe?.drift).toBe(drift);
    const steady = new DryBench().give(connected);
    expect(steady.entries.find((e) => e.kind === 'probe')).toMatchObject({ calibrationState: 'nominal' });
  });

  test('every entry that it stores fits the schema', () => {
    const bench = new DryBench().opened().touch(0.2).answer('unsure').answer('no');
    bench.give({ type: 'skip', reason: 'no power', by: 'person' }).touch(0.002).happen(make, captured(100));
    expect(bench.state.phase).toBe('closed');
    for (const entry of bench.entries)
      expect(entrySchema.safeParse(entry), entry.kind).toMatchObject({ success: true });
  });

  test('asks for an undecided check again, three times at most, and then goes on without a pass', () => {
    const bench = new DryBench().opened();
    for (let i = 0; i < 3; i++) bench.touch(1);
    const outcomes = bench.entries.flatMap((e) => (e.kind === 'capture' ? [e.outcome] : []));
    expect(outcomes).toEqual(['borderline', 'borderline', 'borderline']);
    expect(bench.state.tasks[bench.state.at]).toEqual({ kind: 'check', id: 'eyes' });
    expect(bench.state.job.checks.path?.outcome).toBe('borderline');
  });

  test('waits for the tips to lift before it asks for the next touch', () => {
    const bench = new DryBench().opened().happen(make, captured(0.2));
    expect(bench.state.run?.stage).toBe('lifting');
    bench.happen(captured(0.2));
    expect(bench.entries.filter((e) => e.kind === 'capture')).toHaveLength(1);
    bench.happen(lift);
    expect(bench.state.tasks[bench.state.at]).toEqual({ kind: 'check', id: 'eyes' });
  });

  test('a touch that drops out after its capture takes the pass away', () => {
    const bench = new DryBench().opened().happen(make, captured(0.2));
    const { window, contact } = captured(0.2) as Extract<ReturnType<typeof captured>, { kind: 'captured' }>;
    bench.happen({ kind: 'unsteady', tUs: 1_050_000, window, contact, why: 'dropped out once while held' });
    expect(bench.state.job.checks.path?.outcome).toBe('unsteady');
    bench.happen(lift);
    expect(bench.state.run?.prompt?.check).toBe('path');
  });

  test('a live tip goes on record, is said, and the check begins anew when the tips are off it', () => {
    const bench = new DryBench().opened().happen(make, { kind: 'live', tUs: 1_001_000, on: true });
    expect(bench.state.run?.stage).toBe('live');
    expect(bench.kinds()).toContain('live');
    expect(bench.effects.at(-1)).toMatchObject({ do: 'prompt', prompt: { act: 'lift' } });
    bench.happen({ kind: 'live', tUs: 1_050_000, on: false }, lift);
    expect(bench.state.run?.stage).toBe('waiting');
    expect(bench.entries.filter((e) => e.kind === 'power')).toHaveLength(2);
    bench.touch(0.2);
    expect(bench.state.job.checks.path?.outcome).toBe('pass');
  });

  test('without a proved probe no check is measured', () => {
    const bench = new DryBench().give(connected).answer('yes').answer('yes');
    for (let i = 0; i < 3; i++) bench.touch(4);
    expect(bench.state.phase).toBe('closed');
    expect(bench.state.job.result).toBe('inconclusive');
    expect(bench.kinds()).not.toContain('capture');
  });

  test('a caution that is not acknowledged ends the session', () => {
    const bench = new DryBench().give(connected).answer('no');
    expect(bench.state.phase).toBe('closed');
    expect(bench.state.job.result).toBe('inconclusive');
  });

  test('the short press repeats a check, the long press skips it', () => {
    const bench = new DryBench().opened().happen(make, captured(5));
    bench.give({ type: 'button', long: false, standing: null }).happen(lift).touch(0.2);
    expect(bench.state.job.checks.path?.outcome).toBe('pass');
    expect(bench.state.job.checks.path?.attempts.map((a) => a.outcome)).toEqual(['fail', 'pass']);
    bench.answer('yes').give({ type: 'button', long: true, standing: null });
    expect(bench.state.job.checks.idle?.skipped?.by).toBe('button');
  });

  test('a lost link keeps the job, and the check in hand begins anew when the probe is back', () => {
    const bench = new DryBench().opened().happen(make);
    bench.give({
      type: 'gap',
      gap: { kind: 'gap', cause: 'closed', missing: null, fromUs: 1, toUs: null, text: 'unplugged' },
    });
    bench.give({ type: 'disconnected', why: 'unplugged' }).touch(0.2);
    expect(bench.kinds()).toContain('gap');
    expect(bench.kinds()).not.toContain('capture');
    bench.give(connected);
    expect(bench.state.run?.prompt).toMatchObject({ act: 'touch', check: 'path' });
    bench.touch(0.2);
    expect(bench.state.job.checks.path?.outcome).toBe('pass');
  });

  test('goes on where the record stands: done checks and acknowledged cautions are not asked again', () => {
    const first = new DryBench().opened().touch(0.2).give({ type: 'quit' });
    expect(first.state.phase).toBe('left');
    expect(first.kinds()).not.toContain('closed');
    const second = new DryBench(undefined, first.entries);
    expect(
      second.state.tasks.map((t) => ('id' in t ? t.id : t.kind === 'proof' ? `${t.when} ${t.what}` : t.kind)),
    ).toEqual(['eyes', 'idle', 'closing shorted-tips', 'closing check-resistor']);
  });

  test('tips that stand on something when a task begins are asked to lift, and the touch is asked for again', () => {
    const bench = new DryBench().give(connected).answer('yes').answer('yes');
    const asked = bench.state.run?.prompt;
    bench.give({ type: 'standing' });
    expect(bench.state.run?.prompt?.act).toBe('wait');
    bench.happen(make, lift);
    expect(bench.state.run?.prompt).toEqual(asked);
    bench.touch(0.002);
    expect(bench.kinds()).toContain('proof');
  });

  test('is a pure function of state and event', () => {
    const a = new DryBench().opened().touch(0.2);
    const b = new DryBench().opened().touch(0.2);
    expect(a.state).toEqual(b.state);
  });
});

const eventArbitrary: fc.Arbitrary<JobSessionEvent> = fc.oneof(
  fc.constant<JobSessionEvent>(connected),
  fc.constant<JobSessionEvent>({ type: 'disconnected', why: 'x' }),
  fc.constantFrom(0.2, 1, 5, 2e7).map((ohm): JobSessionEvent => ({ type: 'contact', contact: captured(ohm) })),
  fc.constantFrom(make, lift).map((contactEvent): JobSessionEvent => ({ type: 'contact', contact: contactEvent })),
  fc.boolean().map((on): JobSessionEvent => ({ type: 'contact', contact: { kind: 'live', tUs: 5, on } })),
  fc.boolean().map((long): JobSessionEvent => ({ type: 'button', long, standing: null })),
  fc.record({
    type: fc.constant('answer' as const),
    prompt: fc.integer({ min: 1, max: 12 }).map((n) => `p${n}`),
    answer: fc.constantFrom('yes' as const, 'no' as const, 'unsure' as const),
    by: fc.constant('person' as const),
  }),
  fc.constant<JobSessionEvent>({ type: 'repeat', by: 'person' }),
  fc.constant<JobSessionEvent>({ type: 'skip', reason: 'x', by: 'person' }),
  fc.boolean().map((on): JobSessionEvent => ({ type: 'pause', on })),
  fc.constantFrom('path', 'eyes', 'idle', 'none').map((check): JobSessionEvent => ({ type: 'jump', check })),
  fc.constant<JobSessionEvent>({ type: 'mode-refused' }),
  fc.constant<JobSessionEvent>({ type: 'standing' }),
  fc.constant<JobSessionEvent>({ type: 'clock', tUs: 10 }),
);

test('whatever happens, the reducer does not throw, and a passed job has a pass for every check', () => {
  fc.assert(
    fc.property(fc.array(eventArbitrary, { maxLength: 60 }), (events) => {
      const bench = new DryBench().give(...events);
      const { job } = bench.state;
      if (job.result === 'passed') {
        for (const check of Object.values(job.checks)) {
          expect(check.attempts.at(-1)?.outcome).toBe('pass');
        }
      }
    }),
    { numRuns: runs(300) },
  );
});
