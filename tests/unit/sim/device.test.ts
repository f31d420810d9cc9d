import { describe, expect, test } from 'vitest';
import { controlsInReset } from '../../../sim/probe/controls.ts';
import { solveCircuit } from '../../../src/guide/circuit/circuit.ts';
import { filmBreakdownVolt, filmBrokenOhm, filmDryOhm } from '../../../src/guide/circuit/faults.ts';
import type { Fault } from '../../../src/guide/types.ts';
import { defaultContactSettings } from '../../../src/measure/contact/contact-settings.ts';
import { freeBench } from './free-bench.ts';
import { recorderGuide } from './guides.ts';

const guide = recorderGuide();
const held = { ...controlsInReset };

function bench(faults: Fault[] = [], seed = 1) {
  const free = freeBench(guide, faults, seed);
  const made = free.bench;
  const touch = (padA: string, padB: string, newton = 1): void => {
    made.setTip('a', { on: 'pad', pad: padA }, newton);
    made.setTip('b', { on: 'pad', pad: padB }, newton);
  };
  const ohm = (bridge = false): number => made.look({ ...held, bridge }, 1).sourceOhm;
  return { ...free, made, touch, ohm };
}

describe('a healthy device', () => {
  test('is of the guide, within a few of its spreads, and another seed is another device', () => {
    const nominal = solveCircuit(guide, { power: 'off', pressed: [], faults: [], level: 'normal' }).resistanceOhm(
      'S1',
      'J1',
    );
    const drawn = Array.from({ length: 40 }, (_, seed) => {
      const one = bench([], seed);
      one.touch('S1', 'J1');
      return one.ohm();
    });
    expect(new Set(drawn).size).toBeGreaterThan(35);
    for (const each of drawn) expect(Math.abs(each / nominal - 1)).toBeLessThan(0.3);
    const mean = drawn.reduce((sum, each) => sum + each, 0) / drawn.length;
    expect(Math.abs(mean / nominal - 1)).toBeLessThan(0.05);
  });

  test('a key closes with bounce, ends closed, and opens again', () => {
    for (let seed = 0; seed < 30; seed++) {
      const one = bench([], seed);
      one.touch('K1', 'K2');
      const openOhm = one.ohm();
      expect(openOhm).toBeGreaterThan(1e3);
      one.device.moveKey('record', true);
      one.runTo(20_000);
      expect(one.ohm()).toBeLessThan(5);
      one.device.moveKey('record', false);
      one.runTo(40_000);
      expect(one.ohm()).toBe(openOhm);
    }
  });

  test('some presses bounce more than once, all within a few milliseconds', () => {
    const makes: number[] = [];
    const lastUs: number[] = [];
    for (let seed = 0; seed < 60; seed++) {
      const one = bench([], seed);
      let count = 0;
      let before = false;
      one.clock.changed = () => {
        const now = one.device.pressedKeys.includes('record');
        if (now && !before) count++;
        if (now !== before) lastUs.push(one.clock.nowUs);
        before = now;
      };
      one.device.moveKey('record', true);
      one.runTo(50_000);
      makes.push(count);
    }
    expect(Math.min(...makes)).toBe(1);
    expect(Math.max(...makes)).toBeGreaterThanOrEqual(4);
    expect(Math.max(...lastUs)).toBeLessThan(5_000);
  });

  test('the bridge joins two pads and collapses the voltage between them', () => {
    const one = bench();
    one.device.setPower('on');
    one.touch('M1', 'M2');
    const open = one.made.look({ ...held, bridge: false }, 1).openVolt;
    const closed = one.made.look({ ...held, bridge: true }, 1).openVolt;
    expect(open).toBeGreaterThan(1.6);
    expect(closed).toBeLessThan(0.05);
    expect(one.device.responds('record')).toBe(false);
    expect(one.device.responds('record', 'M1', 'M2', 1)).toBe(true);
  });
});

describe('faults', () => {
  test('open and high are there at once and stay', () => {
    const open = bench([{ link: 'trace-a', mode: 'open' }]);
    open.touch('S1', 'J1');
    expect(open.ohm()).toBeGreaterThan(1e3);
    const high = bench([{ link: 'trace-a', mode: 'high', ohm: 47 }]);
    high.touch('S1', 'J1');
    expect(high.ohm()).toBeGreaterThan(46);
    expect(high.ohm()).toBeLessThan(49);
  });

  test('stuck is closed without a press', () => {
    const one = bench([{ link: 'dome', mode: 'stuck' }]);
    one.touch('K1', 'K2');
    expect(one.ohm()).toBeLessThan(5);
  });

  test('a film stands at the dry level, breaks at the normal one, and forms again', () => {
    const one = bench([{ link: 'contact-a', mode: 'film' }]);
    one.touch('K1', 'S1');
    expect(one.ohm()).toBeGreaterThan(0.9 * filmDryOhm);
    one.made.excited(0.02);
    one.runTo(100_000);
    expect(one.ohm()).toBeGreaterThan(0.9 * filmDryOhm);
    one.made.excited(0.2);
    one.runTo(100_100);
    expect(one.ohm()).toBeLessThan(filmBrokenOhm + 2);
    one.made.excited(0);
    one.runTo(200_000);
    expect(one.ohm()).toBeLessThan(filmBrokenOhm + 2);
    one.runTo(2_000_000);
    expect(one.ohm()).toBeGreaterThan(0.9 * filmDryOhm);
  });

  test('a film breaks by the voltage across itself, not across the tips', () => {
    const one = bench([{ link: 'contact-a', mode: 'film', ohm: 200 }]);
    // the pull-up's 47 kohm and more in series take nearly all of 0.2 V
    one.touch('K1', 'M3');
    const before = one.ohm();
    one.made.excited(0.2);
    one.runTo(100_000);
    expect(one.ohm()).toBe(before);
    expect(0.2).toBeGreaterThan(filmBreakdownVolt);
  });

  test('what a bridge on the live device draws through a film breaks it', () => {
    const one = bench([{ link: 'contact-a', mode: 'film', ohm: 200e3 }]);
    one.touch('K1', 'K2');
    one.device.setPower('on');
    one.runTo(1_000);
    const responds = () => one.device.responds('record', 'K1', 'K2', 1);
    expect(responds()).toBe(false);
    one.ohm(true);
    one.runTo(2_000);
    expect(responds()).toBe(true);
  });

  test('a weak spring is raised and wanders, the more the less force', () => {
    const values = (newton: number): number[] => {
      const one = bench([{ link: 'contact-a', mode: 'weak' }]);
      one.touch('K1', 'S1', newton);
      return Array.from({ length: 300 }, (_, index) => {
        one.runTo((index + 1) * 2_000);
        return one.ohm();
      });
    };
    const mean = (list: readonly number[]): number => list.reduce((sum, each) => sum + each, 0) / list.length;
    const firm = values(1);
    const light = values(0.25);
    expect(mean(firm)).toBeGreaterThan(1);
    expect(new Set(firm).size).toBeGreaterThan(100);
    // Holm: half the root of the force, twice the resistance
    expect(mean(light) / mean(firm)).toBeGreaterThan(1.7);
    expect(mean(light) / mean(firm)).toBeLessThan(2.3);
  });

  test('an intermittent contact drops out and comes back, while it is measured', () => {
    const one = bench([{ link: 'contact-a', mode: 'intermittent' }]);
    one.runTo(1_000_000);
    expect(one.clock.changes).toBe(0);
    one.touch('K1', 'S1');
    let opens = 0;
    let closed = 0;
    let stretchUs = 0;
    let longestUs = 0;
    for (let us = 1_000_000; us < 1_500_000; us += 200) {
      one.runTo(us);
      const isOpen = one.ohm() > 1e3;
      if (isOpen) opens++;
      else closed++;
      stretchUs = isOpen ? 0 : stretchUs + 200;
      longestUs = Math.max(longestUs, stretchUs);
    }
    // a capture needs a settled window and a dwell
    expect(longestUs).toBeLessThan(defaultContactSettings.windowUs);
    expect(opens).toBeGreaterThan(300);
    expect(closed).toBeGreaterThan(opens);
  });

  test('flexing makes a weak spring wander further and an intermittent contact open more often; a healthy one stays', () => {
    const seen = (faults: Fault[], flexed: boolean) => {
      const one = bench(faults);
      one.touch('K1', 'S1');
      one.device.flex(flexed);
      const ohms = Array.from({ length: 2_000 }, (_, index) => {
        one.runTo((index + 1) * 500);
        return one.ohm();
      });
      const openings = ohms.filter((ohm, index) => ohm > 1e3 && (ohms[index - 1] ?? 0) < 1e3).length;
      return { wander: Math.max(...ohms) / Math.min(...ohms), openings };
    };
    const weak: Fault[] = [{ link: 'contact-a', mode: 'weak' }];
    expect(seen(weak, true).wander).toBeGreaterThan(2 * seen(weak, false).wander);
    const loose: Fault[] = [{ link: 'contact-a', mode: 'intermittent' }];
    expect(seen(loose, true).openings).toBeGreaterThan(1.2 * seen(loose, false).openings);
    expect(seen([], true)).toEqual({ wander: 1, openings: 0 });
  });

  test('a known-good unit takes what was wrong in it and at its interfaces, and nothing else', () => {
    const faults: Fault[] = [
      { link: 'dome', mode: 'open' },
      { link: 'contact-b', mode: 'weak' },
      { link: 'trace-a', mode: 'open' },
    ];
    const one = bench(faults);
    expect(one.device.replace('key-unit')).toEqual(faults.slice(0, 2));
    expect(one.device.faults).toEqual(faults.slice(2));
    expect(one.device.replace('cell')).toEqual([]);
    expect(one.device.replace('jack-board')).toEqual(faults.slice(2));
    expect(one.device.faults).toEqual([]);
  });
});
