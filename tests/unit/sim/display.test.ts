import { describe, expect, test } from 'vitest';
import type { DisplayOptions } from '../../../sim/device/display.ts';
import { Hands } from '../../../sim/hands/hands.ts';
import { controlsInReset } from '../../../sim/probe/controls.ts';
import type { Fault } from '../../../src/guide/types.ts';
import type { Answer } from '../../../src/ports/prompt.ts';
import { freeBench } from './free-bench.ts';
import { recorderGuide } from './guides.ts';

const guide = recorderGuide();
const bridgeOhm = 1;

interface Options {
  faults?: Fault[];
  seed?: number;
  display?: DisplayOptions;
  answerErrorRate?: number;
}

/** Tips on two pads of a recorder that is on, its key unit off; the test itself is the probe that closes the bridge. */
function bridging({ faults = [], seed = 1, display, answerErrorRate = 0 }: Options = {}) {
  const free = freeBench(guide, faults, seed, display);
  const { device, bench, clock, runTo } = free;
  const hands = new Hands({ bench, button: () => undefined, seed, slipRate: 0, answerErrorRate });
  const answers: Answer[] = [];
  hands.onAnswer = (_id, answer) => answers.push(answer);
  const run = (us: number): void => runTo(clock.nowUs + us);
  const look = (bridge: boolean): void => void bench.look({ ...controlsInReset, bridge }, bridgeOhm);
  device.setPower('on');
  look(false);
  run(500_000);
  let prompts = 0;
  const bridge = (check: string, pads: [string, string], closureUs = 300_000): Answer | undefined => {
    hands.prompt({ id: `t${prompts}`, act: 'touch', check, pads });
    run(5_000_000);
    look(false);
    look(true);
    run(closureUs);
    look(false);
    hands.prompt({ id: `q${prompts++}`, act: 'answer', check, question: '' });
    run(5_000_000);
    return answers.at(-1);
  };
  return { ...free, run, look, bridge };
}

describe('the device under test answers to its inputs', () => {
  test('a closure across the springs is a press: the display shows it within human-scale time, and the next one ends it', () => {
    const { device, bridge } = bridging();
    expect(bridge('bridge-springs', ['S1', 'S2'])).toBe('yes');
    expect(bridge('bridge-springs', ['S1', 'S2'])).toBe('yes');
    expect(device.display.shownSince(0).map(({ input, on }) => [input, on])).toEqual([
      ['record', true],
      ['record', false],
    ]);
  });

  test('the reaction is drawn between 80 and 200 ms', () => {
    const delays = Array.from({ length: 30 }, (_, seed) => {
      const { device, look, clock, run, bench } = bridging({ seed });
      for (const [tip, pad] of [
        ['a', 'M1'],
        ['b', 'M2'],
      ] as const)
        bench.setTip(tip, { on: 'pad', pad }, 1);
      const fromUs = clock.nowUs;
      look(true);
      run(1_000_000);
      return (device.display.shownSince(fromUs)[0]!.tUs - fromUs) / 1e3;
    });
    expect(Math.min(...delays)).toBeGreaterThanOrEqual(80);
    expect(Math.max(...delays)).toBeLessThanOrEqual(200);
    expect(new Set(delays).size).toBe(30);
  });

  test('a closure too short for a press is none', () => {
    expect(bridging().bridge('bridge-springs', ['S1', 'S2'], 10_000)).toBe('no');
  });

  test.each([
    ['trace-a', 'open', 'no', 'yes'],
    ['series-rec', 'open', 'no', 'no'],
    ['contact-a', 'open', 'yes', 'yes'],
  ] as const)('with %s %s: at the springs %s, on the main board %s', (link, mode, springs, main) => {
    const { bridge } = bridging({ faults: [{ link, mode }] });
    expect(bridge('bridge-springs', ['S1', 'S2'])).toBe(springs);
    expect(bridge('bridge-main', ['M1', 'M2'])).toBe(main);
  });

  test('a key that stays down is a state at rest: the closure changes nothing', () => {
    const { device, bridge } = bridging({ faults: [{ link: 'dome', mode: 'stuck' }] });
    expect(bridge('bridge-main', ['M1', 'M2'])).toBe('no');
    expect(device.display.shownSince(0)).toEqual([]);
  });

  test('switched off, everything that it did is over', () => {
    const { device, bridge, look } = bridging();
    bridge('bridge-springs', ['S1', 'S2']);
    const lit = device.display.brightness(0);
    device.setPower('off');
    look(false);
    expect(device.display.brightness(0)).toBeLessThan(lit - 0.4);
    expect(device.display.isReadable).toBe(false);
  });
});

describe('what a person makes of it', () => {
  test('a dead display leaves them unsure, and the sensor dark', () => {
    const { device, bridge } = bridging({ display: { dead: true, ambient: 0.05 } });
    expect(bridge('bridge-springs', ['S1', 'S2'])).toBe('unsure');
    expect(device.display.brightness(0)).toBeLessThan(0.06);
  });

  test('too weak a light tells a person nothing', () => {
    expect(bridging({ display: { responseGlow: 0.01 } }).bridge('bridge-springs', ['S1', 'S2'])).toBe('unsure');
  });

  test('answers are wrong as often as asked', () => {
    let wrong = 0;
    for (let seed = 0; seed < 200; seed++) {
      if (bridging({ seed, answerErrorRate: 0.2 }).bridge('bridge-springs', ['S1', 'S2']) === 'no') wrong++;
    }
    // three standard deviations of a share of 200
    expect(Math.abs(wrong / 200 - 0.2)).toBeLessThan(3 * Math.sqrt((0.2 * 0.8) / 200));
  });
});
