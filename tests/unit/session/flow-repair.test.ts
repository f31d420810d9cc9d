import { describe, expect, test } from 'vitest';
import type { JobSessionEvent } from '../../../src/session/job/job-session-state.ts';
import { captured, connected, DryBench, make, testGuide } from '../../support/dry-bench.ts';
import { choose, drySession, inHand, jump, kindsFrom, prove } from './flow-session.ts';
import { madeIsolator } from './made-isolator.ts';

describe('a repair', () => {
  const failing = () => {
    const made = drySession(['eyes', 'path', 'idle']);
    made.bench.answer('yes').touch(5);
    return made;
  };

  test('is chosen, done, put on record; then what was done before is done again, what failed first', () => {
    const { bench } = failing();
    bench.give(choose('fit'));
    expect(bench.kinds()).not.toContain('repair');
    expect(bench.state.run?.prompt).toMatchObject({ act: 'repair', repair: 'fit' });
    bench.answer('yes');
    expect(inHand(bench)).toBe('path');
    bench.touch(0.2);
    expect(bench.entries.at(-1)).toMatchObject({ kind: 'capture', phase: 'after', attempt: 2 });
    expect(inHand(bench)).toBe('eyes');
    bench.answer('yes');
    expect(inHand(bench)).toBe('shorted-tips');
    prove(bench);
    expect(bench.state.job.checks.path).toMatchObject({ before: 'fail', after: 'pass' });
    expect(bench.state.job.result).toBe('repaired');
    expect(bench.state.job.concluded).toMatchObject({ reasons: [expect.stringContaining('passes now')], doubt: null });
    expect(kindsFrom(bench, 'concluded')).toEqual([
      'concluded',
      'repair',
      'power',
      'capture',
      'observation',
      'concluded',
      'proof',
      'proof',
      'closed',
    ]);
  });

  test('that did not help leads to a conclusion again, and another can be chosen', () => {
    const { bench } = failing();
    bench.give(choose('fit')).answer('yes').touch(5).answer('yes');
    expect(inHand(bench)).toBe('conclusion');
    expect(bench.state.run?.prompt?.act).toBe('choose');
    bench.give(choose('fit')).answer('yes').touch(0.2).answer('yes');
    prove(bench);
    expect(bench.state.job.repairs).toHaveLength(2);
    expect(bench.state.job.result).toBe('repaired');
  });

  test('can be refused: the job is then closed as failed', () => {
    const { bench } = failing();
    bench.give(choose(null));
    expect(prove(bench).state.job.result).toBe('failed');
  });

  test('that was not done after all is not on record, and the choice is asked for again', () => {
    const { bench } = failing();
    bench.give(choose('fit')).answer('no');
    expect(bench.kinds()).not.toContain('repair');
    expect(bench.state.run?.prompt?.act).toBe('choose');
  });

  test('that the guide does not know is not taken', () => {
    const { bench } = failing();
    bench.give(choose('pray'));
    expect(bench.state.run?.prompt?.act).toBe('choose');
  });

  test('by option is the first of the plan, and needs no choice', () => {
    const { bench } = drySession(['path'], { repair: 'first' });
    bench.touch(5);
    expect(bench.state.run?.prompt).toMatchObject({ act: 'repair', repair: 'fit' });
    bench.answer('yes').touch(0.2);
    expect(prove(bench).state.job.result).toBe('repaired');
  });

  test('by option ends after two tries of one that does not help', () => {
    const { bench } = drySession(['path'], { repair: 'first' });
    bench.touch(5);
    for (let i = 0; i < 20 && inHand(bench) === 'conclusion'; i++) bench.answer('yes').touch(5);
    expect(inHand(bench)).toBe('shorted-tips');
    expect(bench.state.job.repairs).toHaveLength(2);
    expect(prove(bench).state.job.result).toBe('failed');
  });

  test('is not asked about when the option says none', () => {
    const { bench } = drySession(['path'], { repair: 'none' });
    bench.touch(5);
    expect(inHand(bench)).toBe('shorted-tips');
    expect(bench.kinds()).toContain('concluded');
  });

  test('in place of one, a check can be chosen; the conclusion is then drawn anew', () => {
    const { bench } = failing();
    bench.give(jump('idle'), { type: 'skip', reason: 'no power', by: 'person' });
    expect(bench.kinds().filter((kind) => kind === 'concluded')).toHaveLength(2);
    expect(bench.state.run?.prompt?.act).toBe('choose');
  });

  test('outlasts a lost link and a restart', () => {
    const { bench } = failing();
    bench.give({ type: 'disconnected', why: 'unplugged' }, connected);
    expect(bench.state.run?.prompt?.act).toBe('choose');
    expect(bench.kinds().filter((kind) => kind === 'concluded')).toHaveLength(1);
    bench.give(choose('fit')).answer('yes').give({ type: 'quit' });
    const { isolator } = madeIsolator(['eyes', 'path', 'idle']);
    const again = new DryBench(testGuide(), bench.entries, { isolator, settings: { order: 'information' } });
    expect(inHand(again.give(connected))).toBe('path');
  });
});

describe('a swapped unit', () => {
  const swapped: JobSessionEvent = { type: 'swapped', unit: 'key', by: 'person' };

  test('goes on record, and the checks are done again, without waiting for the conclusion', () => {
    const { bench } = drySession(['eyes', 'path', 'idle']);
    bench.answer('yes').give(swapped);
    expect(bench.entries.find(({ kind }) => kind === 'repair')).toMatchObject({
      what: 'swap',
      repair: null,
      unit: 'key',
      by: 'person',
    });
    expect(inHand(bench)).toBe('eyes');
    // whoever swapped had the device in hand: it is asked for anew how it stands
    expect(bench.kinds().filter((kind) => kind === 'power')).toHaveLength(2);
  });

  test('takes nothing of a touch that was under way, and waits for the tips to lift', () => {
    const { bench } = drySession(['path']);
    bench.happen(make).give(swapped).happen(captured(0.2));
    expect(bench.kinds()).not.toContain('capture');
    expect(bench.state.run?.stage).toBe('lifting');
  });

  test('before the probe is proved, or of a unit that the guide does not have, is not taken', () => {
    const { isolator } = madeIsolator(['path']);
    const bench = new DryBench(testGuide(), [], { isolator }).give(connected, swapped);
    expect(bench.kinds()).not.toContain('repair');
    bench.answer('yes').answer('yes').touch(0.002).happen(make, captured(100));
    expect(bench.give({ ...swapped, unit: 'sail' }).kinds()).not.toContain('repair');
  });

  test('after a fail makes a job that passes everything since then a repaired one', () => {
    const { bench } = drySession(['path']);
    bench.touch(5).give(swapped).touch(0.2);
    expect(prove(bench).state.job.result).toBe('repaired');
  });
});
