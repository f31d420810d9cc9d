import { describe, expect, test } from 'vitest';
import { defaultPressSettings, startPresses, stepPresses } from '../../src/measure/contact/presses.ts';
import { nominalCalibration } from '../../src/measure/reading/nominal.ts';
import type { PressSummary } from '../../src/measure/types.ts';
import { Script } from '../support/probe-stream.ts';
import data from './data/debounce.json' with { type: 'json' };

const open = Number.POSITIVE_INFINITY;
const closedOhm = 5e5;

function pressesOf(script: Script, releaseUs: number): PressSummary[] {
  let state = startPresses({ ...defaultPressSettings, releaseUs }, nominalCalibration);
  const presses: PressSummary[] = [];
  for (const batch of script.batches()) {
    const stepped = stepPresses(state, batch);
    state = stepped.state;
    presses.push(...stepped.events.map(({ press }) => press));
  }
  return presses;
}

describe('switch E: 81 ms closed, 42 ms open, closed again (Ganssle)', () => {
  const { highUs, lowUs } = data.switchE;
  const trace = () =>
    new Script()
      .ohm(50_000, open, 4)
      .ohm(highUs, closedOhm, 4)
      .ohm(lowUs, open, 4)
      .ohm(200_000, closedOhm, 4)
      .ohm(100_000, open, 4);

  test.each([10_000, 20_000, 30_000, 40_000])('is two closings to a window of %d us', (releaseUs) => {
    const presses = pressesOf(trace(), releaseUs);
    expect(presses).toHaveLength(2);
    expect(presses[0]!.bounceUs).toBe(0);
  });

  test.each([45_000, 60_000])('is one closing to a window of %d us', (releaseUs) => {
    const presses = pressesOf(trace(), releaseUs);
    expect(presses).toHaveLength(1);
    expect(presses[0]!.makes).toBe(2);
  });
});

test('a window of 20 ms takes a bounce of 6.2 ms as one press, and tells its length', () => {
  const script = new Script().ohm(50_000, open, 4);
  // closures and openings of 0.9 to 1.8 ms, the last of them ending 6.2 ms after the first make
  for (const [closedUs, openUs] of [
    [884, 884],
    [884, 1768],
    [884, 884],
  ] as const) {
    script.ohm(closedUs, closedOhm, 4).ohm(openUs, open, 4);
  }
  script.ohm(150_000, closedOhm, 4).ohm(100_000, open, 4);
  const presses = pressesOf(script, 20_000);
  expect(presses).toHaveLength(1);
  expect(presses[0]!.makes).toBe(4);
  expect(presses[0]!.closedReading?.state).toBe('in-range');
  const lastMakeUs = presses[0]!.bounceUs + 884;
  expect(Math.abs(lastMakeUs - data.worstOfTheOthersUs)).toBeLessThan(884);
});
