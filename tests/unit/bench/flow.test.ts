import { describe, expect, test } from 'vitest';
import type { BenchEvent } from '../../../src/bench/state.ts';
import { Sitting } from '../screen/scenes.ts';
import { captured, connected, DryBench, make, testGuide } from './dry-bench.ts';
import { madeIsolator } from './made-isolator.ts';

const jump = (check: string): BenchEvent => ({ type: 'jump', check });
const choose = (repair: string | null): BenchEvent => ({ type: 'choose', repair, by: 'person' });

/** A sitting in the order of information: checks come as the made isolator has them. */
function sitting(order: string[], settings: Record<string, unknown> = {}, wanted?: number) {
  const { isolator, asked } = madeIsolator(order, wanted);
  const at = new Sitting(testGuide(), { isolator, settings: { order: 'information', ...settings } });
  return { at: at.opened(), bench: at.bench, asked };
}
const inHand = ({ state }: DryBench): string => {
  const task = state.tasks[state.at];
  if (task === undefined) return 'nothing';
  return task.kind === 'check' ? task.id : task.kind === 'proof' ? task.what : task.kind;
};
/** Both closing proofs. */
const prove = (bench: DryBench): DryBench => bench.touch(0.002).happen(make, captured(100));
const kindsFrom = (bench: DryBench, kind: string): string[] => bench.kinds().slice(bench.kinds().indexOf(kind));

describe('in the order of information', () => {
  test('each check is the one proposed when the one before it is done, with its reason', () => {
    const { bench, asked } = sitting(['eyes', 'path']);
    expect([inHand(bench), bench.state.because]).toEqual(['eyes', 'it parts eyes from the rest']);
    bench.answer('yes');
    expect(inHand(bench)).toBe('path');
    bench.touch(0.2);
    expect(asked.at(-1)?.done).toEqual(['path', 'eyes']);
    expect(inHand(bench)).toBe('shorted-tips');
  });

  test('the next one is known while the outcome is still held', () => {
    const { bench } = sitting(['path', 'eyes']);
    bench.happen(make, captured(0.2));
    expect(bench.state.insight?.next?.check).toBe('eyes');
  });

  test('it stops as soon as enough is known: a fail goes to the conclusion', () => {
    const { bench } = sitting(['path', 'eyes', 'idle']);
    bench.touch(5);
    expect(inHand(bench)).toBe('conclusion');
    expect(bench.entries.at(-1)).toMatchObject({
      kind: 'concluded',
      conclusion: 'fault',
      decisions: [{ id: 'key', p: 0.97 }],
      notTested: ['eyes', 'idle'],
    });
  });

  test('what is proposed reckons with the power and the state of disassembly that stand', () => {
    const { bench, asked } = sitting(['idle', 'path']);
    expect(asked[0]).toMatchObject({ power: null, access: undefined, done: [] });
    bench.give(jump('path')).touch(0.2);
    expect(asked.at(-1)).toMatchObject({ power: 'off', access: null });
  });

  test('a chosen check comes first, then it is proposed anew; a skipped one is not proposed again', () => {
    const { bench } = sitting(['path', 'eyes', 'idle']);
    bench.give(jump('eyes')).answer('yes');
    expect(inHand(bench)).toBe('path');
    bench.give({ type: 'skip', reason: 'no reach', by: 'person' });
    expect(inHand(bench)).toBe('idle');
  });

  test('a lost link asks for the same check again, not for another', () => {
    const { bench } = sitting(['path', 'eyes']);
    bench.give({ type: 'disconnected', why: 'unplugged' }, connected);
    expect(inHand(bench)).toBe('path');
    expect(bench.state.tasks.filter((task) => task.kind === 'check')).toHaveLength(1);
  });

  test('an undecided check is tried again, and then left to what tells more', () => {
    const { bench } = sitting(['path', 'eyes']);
    bench.touch(1).touch(1).touch(1);
    expect(bench.state.job.checks.path?.outcome).toBe('borderline');
    expect(inHand(bench)).toBe('eyes');
  });

  test('resumed, it goes on with what tells most now', () => {
    const { bench } = sitting(['path', 'eyes', 'idle']);
    bench.touch(0.2).give({ type: 'quit' });
    const { isolator } = madeIsolator(['path', 'eyes', 'idle']);
    const again = new DryBench(testGuide(), bench.entries, { isolator, settings: { order: 'information' } });
    again.give(connected);
    expect(inHand(again)).toBe('eyes');
  });
});

describe('in the order of the guide', () => {
  test('every check is done, then the conclusion follows', () => {
    const { isolator } = madeIsolator();
    const bench = new DryBench(testGuide(), [], { isolator }).opened();
    bench.touch(5).answer('yes');
    expect(inHand(bench)).toBe('idle');
    bench.give({ type: 'skip', reason: 'no power', by: 'person' });
    expect(bench.entries.at(-1)).toMatchObject({ kind: 'concluded', conclusion: 'fault' });
  });
});

describe('nothing found', () => {
  test('is concluded as such and asks for nothing; what was not tested stands in it', () => {
    const { bench } = sitting(['path', 'eyes'], {}, 1);
    bench.touch(0.2);
    expect(inHand(bench)).toBe('shorted-tips');
    prove(bench);
    expect(bench.state.job.result).toBe('no-fault-found');
    expect(bench.state.job.concluded).toMatchObject({ conclusion: 'none', notTested: ['eyes', 'idle'] });
  });

  test('is never said of a job in which nothing was done', () => {
    const { bench } = sitting([]);
    prove(bench);
    expect(bench.state.job.concluded?.conclusion).toBe('none');
    expect(bench.state.job.result).toBe('inconclusive');
  });
});

describe('a repair', () => {
  const failing = () => {
    const made = sitting(['eyes', 'path', 'idle']);
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
    const { bench } = sitting(['path'], { repair: 'first' });
    bench.touch(5);
    expect(bench.state.run?.prompt).toMatchObject({ act: 'repair', repair: 'fit' });
    bench.answer('yes').touch(0.2);
    expect(prove(bench).state.job.result).toBe('repaired');
  });

  test('by option ends after a while when nothing helps', () => {
    const { bench } = sitting(['path'], { repair: 'first' });
    bench.touch(5);
    for (let i = 0; i < 20 && inHand(bench) === 'conclusion'; i++) bench.answer('yes').touch(5);
    expect(inHand(bench)).toBe('shorted-tips');
    expect(prove(bench).state.job.result).toBe('failed');
  });

  test('is not asked about when the option says none', () => {
    const { bench } = sitting(['path'], { repair: 'none' });
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
  const swapped: BenchEvent = { type: 'swapped', unit: 'key', by: 'person' };

  test('goes on record, and the checks are done again, without waiting for the conclusion', () => {
    const { bench } = sitting(['eyes', 'path', 'idle']);
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
    const { bench } = sitting(['path']);
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
    const { bench } = sitting(['path']);
    bench.touch(5).give(swapped).touch(0.2);
    expect(prove(bench).state.job.result).toBe('repaired');
  });
});
