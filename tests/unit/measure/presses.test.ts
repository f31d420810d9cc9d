import { describe, expect, test } from 'vitest';
import { defaultPressSettings, startPresses, stepPresses } from '../../../src/measure/contact/presses.ts';
import { nominalCalibration } from '../../../src/measure/reading/nominal.ts';
import type { PressSettings, PressSummary } from '../../../src/measure/types.ts';
import { flagBits } from '../../../src/protocol/table.ts';
import { periodUs, Script, seatedFlags } from '../../support/probe-stream.ts';

const open = Number.POSITIVE_INFINITY;

function pressesOf(script: Script, settings: Partial<PressSettings> = {}): PressSummary[] {
  let state = startPresses({ ...defaultPressSettings, ...settings }, nominalCalibration);
  return script.batches().flatMap((batch) => {
    const stepped = stepPresses(state, batch);
    state = stepped.state;
    return stepped.events.map(({ press }) => press);
  });
}

/** A press of a few tenths of an ohm as an automatic probe sees it: down through the ranges, and up again on release. */
function press(script: Script, closedUs: number, ohm = 0.4): Script {
  script.ohm(periodUs, ohm, 4).gap(periodUs).ohm(periodUs, ohm, 2).gap(periodUs).ohm(closedUs, ohm, 0);
  for (const range of [0, 1, 2, 3]) script.ohm(2 * periodUs, open, range).gap(range === 3 ? 3 * periodUs : periodUs);
  return script;
}

describe('a press', () => {
  test('has its closed resistance, its length and its window', () => {
    const presses = pressesOf(press(new Script().ohm(50_000, open, 4), 120_000).ohm(200_000, open, 4));
    expect(presses).toHaveLength(1);
    const [one] = presses;
    expect(one).toMatchObject({ makes: 1, bounceUs: 0, missed: false });
    expect(one!.closedReading!.value).toBeCloseTo(0.4, 1);
    expect(one!.window!.codes).toHaveLength(27);
    expect(Math.abs(one!.heldUs - 120_000 - 4 * periodUs)).toBeLessThan(2 * periodUs);
  });

  test('with bounce is one press', () => {
    const script = new Script()
      .ohm(50_000, open, 4)
      .ohm(2 * periodUs, 1e5, 4)
      .ohm(3 * periodUs, open, 4);
    const [one, ...more] = pressesOf(script.ohm(120_000, 1e5, 4).ohm(100_000, open, 4));
    expect(more).toEqual([]);
    expect(one).toMatchObject({ makes: 2, bounceUs: 2 * periodUs });
  });

  test('too short to settle has no closed reading, but keeps what was seen', () => {
    const [one] = pressesOf(
      new Script()
        .ohm(50_000, open, 4)
        .ohm(10 * periodUs, 1e5, 4)
        .ohm(100_000, open, 4),
    );
    expect(one!.closedReading).toBeNull();
    expect(one!.window!.codes.length).toBeGreaterThan(2);
  });

  test('that conducts badly is a press with a high reading', () => {
    const [one] = pressesOf(new Script().ohm(50_000, open, 4).ohm(100_000, 2e6, 4).ohm(100_000, open, 4));
    expect(one!.closedReading!.value / 2e6).toBeCloseTo(1, 1);
  });

  test('counts once each, in any number', () => {
    const script = new Script().ohm(50_000, open, 4);
    for (let i = 0; i < 40; i++) press(script, 80_000).ohm(120_000, open, 4);
    expect(pressesOf(script)).toHaveLength(40);
  });

  test('under way is not yet told', () => {
    expect(pressesOf(press(new Script().ohm(50_000, open, 4), 120_000))).toEqual([]);
  });

  test('ends when the tips lift', () => {
    expect(pressesOf(new Script().ohm(50_000, open, 4).ohm(100_000, 1e5, 4).air(100_000))).toHaveLength(1);
  });
});

describe('the beat', () => {
  test('that passes without a press is a missed one', () => {
    const script = press(new Script().ohm(100_000, open, 4), 100_000).ohm(900_000, open, 4);
    press(script, 100_000).ohm(150_000, open, 4);
    const presses = pressesOf(script, { beatUs: 500_000 });
    expect(presses.map(({ missed }) => missed)).toEqual([false, true, false]);
    expect(presses[1]).toEqual({ closedReading: null, bounceUs: 0, makes: 0, heldUs: 0, window: null, missed: true });
  });

  test('misses nothing before the first press, nor without a beat', () => {
    expect(pressesOf(new Script().ohm(3_000_000, open, 4), { beatUs: 500_000 })).toEqual([]);
    expect(pressesOf(press(new Script().ohm(50_000, open, 4), 100_000).ohm(3_000_000, open, 4))).toHaveLength(1);
  });
});

test('a voltage on the tips is no press', () => {
  const live = flagBits.voltage | flagBits.live;
  const presses = pressesOf(
    new Script().ohm(50_000, open, 4).volt(100_000, 3, live).volt(50_000, 0, live).ohm(100_000, open, 4, seatedFlags),
  );
  expect(presses).toEqual([]);
});
