import { describe, expect, test } from 'vitest';
import { captured, connected, DryBench, lift, make, testGuide } from '../../support/dry-bench.ts';
import { drySession, inHand, jump, prove } from './flow-session.ts';
import { madeIsolator } from './made-isolator.ts';

describe('in the order of information', () => {
  test('each check is the one proposed when the one before it is done, with its reason', () => {
    const { bench, asked } = drySession(['eyes', 'path']);
    expect([inHand(bench), bench.state.because]).toEqual(['eyes', 'it parts eyes from the rest']);
    bench.answer('yes');
    expect(inHand(bench)).toBe('path');
    bench.touch(0.2);
    expect(asked.at(-1)?.done).toEqual(['path', 'eyes']);
    expect(inHand(bench)).toBe('shorted-tips');
  });

  test('the next one is known while the outcome is still held', () => {
    const { bench } = drySession(['path', 'eyes']);
    bench.happen(make, captured(0.2));
    expect(bench.state.insight?.next?.check).toBe('eyes');
  });

  test('it stops as soon as enough is known: a fail goes to the conclusion', () => {
    const { bench } = drySession(['path', 'eyes', 'idle']);
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
    const { bench, asked } = drySession(['idle', 'path']);
    expect(asked[0]).toMatchObject({ power: null, access: undefined, done: [] });
    bench.give(jump('path')).touch(0.2);
    expect(asked.at(-1)).toMatchObject({ power: 'off', access: null });
  });

  test('a chosen check comes first, then it is proposed anew; a skipped one is not proposed again', () => {
    const { bench } = drySession(['path', 'eyes', 'idle']);
    bench.give(jump('eyes')).answer('yes');
    expect(inHand(bench)).toBe('path');
    bench.give({ type: 'skip', reason: 'no reach', by: 'person' });
    expect(inHand(bench)).toBe('idle');
  });

  test('a lost link asks for the same check again, not for another', () => {
    const { bench } = drySession(['path', 'eyes']);
    bench.give({ type: 'disconnected', why: 'unplugged' }, connected);
    expect(inHand(bench)).toBe('path');
    expect(bench.state.tasks.filter((task) => task.kind === 'check')).toHaveLength(1);
  });

  test('an undecided check is tried again, and then left to what tells more', () => {
    const { bench } = drySession(['path', 'eyes']);
    bench.touch(1).touch(1).touch(1);
    expect(bench.state.job.checks.path?.outcome).toBe('borderline');
    expect(inHand(bench)).toBe('eyes');
  });

  test('resumed, it goes on with what tells most now', () => {
    const { bench } = drySession(['path', 'eyes', 'idle']);
    bench.touch(0.2).give({ type: 'quit' });
    const { isolator } = madeIsolator(['path', 'eyes', 'idle']);
    const again = new DryBench(testGuide(), bench.entries, { isolator, settings: { order: 'information' } });
    again.give(connected);
    expect(inHand(again)).toBe('eyes');
  });
});

describe('a person who wants no more checks', () => {
  test('gets the conclusion from what is known, and may go on with a check all the same', () => {
    const { bench } = drySession(['path', 'eyes', 'idle']);
    bench.touch(0.2).give({ type: 'conclude' });
    expect(bench.kinds()).toContain('concluded');
    expect(inHand(bench)).toBe('shorted-tips');
    bench.give(jump('eyes')).answer('yes');
    expect(inHand(bench)).toBe('idle');
  });

  test('waits for the tips to lift, and nothing of the touch counts', () => {
    const { bench } = drySession(['path', 'eyes']);
    bench.happen(make).give({ type: 'conclude' }).happen(captured(5));
    expect(bench.kinds()).not.toContain('capture');
    expect(inHand(bench.happen(lift))).toBe('shorted-tips');
  });

  test('in the order of the guide leaves the rest of the checks out as well', () => {
    const { isolator } = madeIsolator();
    const bench = new DryBench(testGuide(), [], { isolator }).opened().touch(5).give({ type: 'conclude' });
    expect(inHand(bench)).toBe('conclusion');
  });

  test('is not heard where nothing is concluded', () => {
    const bench = new DryBench().opened().give({ type: 'conclude' });
    expect(inHand(bench)).toBe('path');
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
    const { bench } = drySession(['path', 'eyes'], {}, 1);
    bench.touch(0.2);
    expect(inHand(bench)).toBe('shorted-tips');
    prove(bench);
    expect(bench.state.job.result).toBe('no-fault-found');
    expect(bench.state.job.concluded).toMatchObject({ conclusion: 'none', notTested: ['eyes', 'idle'] });
  });

  test('is never said of a job in which nothing was done', () => {
    const { bench } = drySession([]);
    prove(bench);
    expect(bench.state.job.concluded?.conclusion).toBe('none');
    expect(bench.state.job.result).toBe('inconclusive');
  });
});
