import { describe, expect, test } from 'vitest';
import { Hands } from '../../../sim/hands/hands.ts';
import type { HandsPrompt } from '../../../sim/hands/prompt-moves.ts';
import type { Fault } from '../../../src/guide/types.ts';
import { freeBench } from './free-bench.ts';
import { recorderGuide } from './guides.ts';

const guide = recorderGuide();

interface Options {
  faults?: Fault[];
  seed?: number;
  slipRate?: number;
  answerErrorRate?: number;
}

function bench({ faults = [], seed = 1, slipRate = 0, answerErrorRate = 0 }: Options = {}) {
  const free = freeBench(guide, faults, seed);
  const buttons: boolean[] = [];
  const hands = new Hands({ bench: free.bench, button: (down) => buttons.push(down), seed, slipRate, answerErrorRate });
  const made = { ...free, hands, buttons };
  const done: string[] = [];
  made.hands.onDone = (id) => done.push(id);
  /** Probe times at which tips came to touch, or left. */
  const changes: { tUs: number; a: string; b: string }[] = [];
  const name = (tip: 'a' | 'b'): string => {
    const place = made.bench.tipAt(tip);
    return place.on === 'pad' ? place.pad : place.on;
  };
  const setTip = made.bench.setTip.bind(made.bench);
  made.bench.setTip = (...args) => {
    setTip(...args);
    const now = { tUs: made.clock.nowUs, a: name('a'), b: name('b') };
    const last = changes.at(-1);
    if (last?.a !== now.a || last.b !== now.b) changes.push(now);
  };
  const run = (us: number): void => made.runTo(made.clock.nowUs + us);
  const ask = (prompt: HandsPrompt): void => made.hands.prompt(prompt);
  return { ...made, done, changes, run, ask, name };
}

const touch = (id: string, check: string, pads: [string, string]): HandsPrompt => ({ id, act: 'touch', check, pads });

describe('prompts', () => {
  test('a touch comes after a human while, and both tips rest on the pads until told to lift', () => {
    const one = bench();
    one.ask(touch('p1', 'spring-a', ['S1', 'J1']));
    one.run(200_000);
    expect(one.changes).toEqual([]);
    one.run(6_000_000);
    expect(one.done).toEqual(['p1']);
    expect([one.name('a'), one.name('b')]).toEqual(['S1', 'J1']);
    expect(one.device.access).toBe('key-off');
    one.ask({ id: 'p2', act: 'lift' });
    one.run(2_000_000);
    expect([one.name('a'), one.name('b')]).toEqual(['air', 'air']);
    expect(one.done).toEqual(['p1', 'p2']);
  });

  test("landings bounce on some touches, within milliseconds of each tip's landing", () => {
    const counts: number[] = [];
    for (let seed = 0; seed < 20; seed++) {
      const one = bench({ seed });
      one.ask(touch('p1', 'spring-a', ['S1', 'J1']));
      one.run(6_000_000);
      const landed = one.changes.filter(({ a }, index) => a === 'S1' && one.changes[index - 1]?.a !== 'S1');
      counts.push(landed.length);
      expect(landed.at(-1)!.tUs - landed[0]!.tUs).toBeLessThan(3_100);
    }
    expect(Math.min(...counts)).toBe(1);
    expect(Math.max(...counts)).toBeGreaterThan(2);
  });

  test('the same prompt twice is one touch; prompts are done in order', () => {
    const one = bench();
    for (let i = 0; i < 3; i++) one.ask(touch('p1', 'spring-a', ['S1', 'J1']));
    one.ask(touch('p2', 'spring-b', ['S2', 'J2']));
    one.run(10_000_000);
    expect(one.done).toEqual(['p1', 'p2']);
    expect([one.name('a'), one.name('b')]).toEqual(['S2', 'J2']);
  });

  test('keys that a check wants held are down during the touch and up after the lift', () => {
    const one = bench();
    one.ask(touch('p1', 'key-closed', ['K1', 'K2']));
    one.run(6_000_000);
    expect(one.device.pressedKeys).toEqual(['record']);
    one.ask({ id: 'p2', act: 'lift' });
    one.run(2_000_000);
    expect(one.device.pressedKeys).toEqual([]);
  });

  test('presses come one after another to a beat, tips first', () => {
    const one = bench();
    let downs = 0;
    const moveKey = one.device.moveKey.bind(one.device);
    const atUs: number[] = [];
    one.device.moveKey = (key, down) => {
      if (down) {
        downs++;
        atUs.push(one.clock.nowUs);
        expect([one.name('a'), one.name('b')]).toEqual(['K1', 'K2']);
      }
      return moveKey(key, down);
    };
    one.ask({ id: 'p1', act: 'press', check: 'key-presses', pads: ['K1', 'K2'], key: 'record', count: 6 });
    one.run(12_000_000);
    expect(one.done).toEqual(['p1']);
    expect(downs).toBe(6);
    for (let i = 1; i < atUs.length; i++) expect(Math.abs(atUs[i]! - atUs[i - 1]! - 500_000)).toBeLessThan(1);
  });

  test("power and the probe's button", () => {
    const one = bench();
    one.ask({ id: 'p1', act: 'power', power: 'on' });
    one.run(3_000_000);
    expect(one.device.power).toBe('on');
    one.ask({ id: 'p2', act: 'button' });
    one.ask({ id: 'p3', act: 'power', power: 'off' });
    one.run(3_000_000);
    expect(one.device.power).toBe('off');
    expect(one.buttons).toEqual([true, false]);
    expect(one.done).toEqual(['p1', 'p2', 'p3']);
  });

  test('flexing lasts as long as the check holds, with the tips where they are', () => {
    const one = bench();
    const flexed: { tUs: number; on: boolean }[] = [];
    const flex = one.device.flex.bind(one.device);
    one.device.flex = (on) => {
      flexed.push({ tUs: one.clock.nowUs, on });
      flex(on);
    };
    one.ask(touch('p1', 'flexing', ['M1', 'M2']));
    one.ask({ id: 'p2', act: 'flex', check: 'flexing' });
    one.ask({ id: 'p3', act: 'lift' });
    one.run(6_000_000);
    expect([one.name('a'), one.name('b')]).toEqual(['M1', 'M2']);
    one.run(6_000_000);
    expect(flexed.map(({ on }) => on)).toEqual([true, false]);
    expect(flexed[1]!.tUs - flexed[0]!.tUs).toBe(4_000_000);
    expect(one.done).toEqual(['p1', 'p2', 'p3']);
  });

  test('tips shorted together, then taken apart', () => {
    const one = bench();
    one.ask({ id: 'p1', act: 'short-tips' });
    one.run(4_000_000);
    expect([one.name('a'), one.name('b')]).toEqual(['tips', 'tips']);
    one.ask({ id: 'p2', act: 'wait' });
    one.run(4_000_000);
    expect([one.name('a'), one.name('b')]).toEqual(['air', 'air']);
  });
});

describe('answers of the eye', () => {
  const answerTo = (faults: Fault[], errors = 0, seed = 1): string | undefined => {
    const one = bench({ faults, answerErrorRate: errors, seed });
    let given: string | undefined;
    one.hands.onAnswer = (_id, answer) => {
      given = answer;
    };
    one.ask({ id: 'p1', act: 'answer', check: 'look-pads', question: '' });
    one.run(6_000_000);
    return given;
  };

  test('follow the true faults', () => {
    expect(answerTo([])).toBe('yes');
    expect(answerTo([{ link: 'contact-b', mode: 'film' }])).toBe('no');
    expect(answerTo([{ link: 'contact-b', mode: 'weak' }])).toBe('yes');
  });

  test('err at the rate asked for', () => {
    const wrong = Array.from({ length: 60 }, (_, seed) => answerTo([], 0.3, seed)).filter(
      (answer) => answer === 'no',
    ).length;
    // binomial with n = 60, p = 0.3: 18 +- 3.5, five of those
    expect(wrong).toBeGreaterThan(1);
    expect(wrong).toBeLessThan(36);
  });
});

describe('slips', () => {
  test('touch the wrong thing for less time than any capture takes, then come back', () => {
    for (let seed = 0; seed < 15; seed++) {
      const one = bench({ seed, slipRate: 1 });
      one.ask(touch('p1', 'spring-a', ['S1', 'J1']));
      one.run(8_000_000);
      expect([one.name('a'), one.name('b')]).toEqual(['S1', 'J1']);
      const wrong = one.changes.findIndex(({ a, b }) => ![a, b].every((place) => ['S1', 'J1', 'air'].includes(place)));
      if (wrong < 0) continue;
      const next = one.changes[wrong + 1]!;
      expect(next.tUs - one.changes[wrong]!.tUs).toBeLessThan(24_000);
      expect([next.a, next.b]).toContain('air');
    }
  });
});
