import { describe, expect, test } from 'vitest';
import { nominalCalibration } from '../../../src/measure/reading/nominal.ts';
import { readWindow } from '../../../src/measure/reading/read-window.ts';
import type { JobSessionEvent } from '../../../src/session/job/job-session-state.ts';
import { make, windowAt } from '../../support/dry-bench.ts';
import { DrySession } from '../faces/scenes.ts';

function press(ohm: number): JobSessionEvent {
  const window = windowAt(ohm);
  const closedReading = readWindow(window, nominalCalibration);
  return { type: 'press', press: { closedReading, bounceUs: 900, makes: 1, heldUs: 200_000, window, missed: false } };
}

/** The record's entry after presses of the recorder's key, which is asked for twenty of at most 5 ohm. */
function pressed(ohms: number[]) {
  const { bench } = new DrySession().opened().choose('key-presses');
  bench.happen(make).give(...ohms.map(press));
  return bench.entries.find((entry) => entry.kind === 'presses');
}

describe('a run of presses', () => {
  test('without a bad one says what it shows: 0.05^(1/20) = 0.8609', () => {
    expect(pressed(new Array(20).fill(1.2))).toMatchObject({
      outcome: 'pass',
      why: expect.stringContaining('0 bad of 20, which shows at least 86 % good presses (95 % confidence)'),
    });
  });

  test('with a bad one is a fail, and claims nothing', () => {
    const entry = pressed([...new Array(19).fill(1.2), 40]);
    expect(entry).toMatchObject({ outcome: 'fail', why: expect.stringContaining('1 bad of 20') });
    expect(entry).not.toMatchObject({ why: expect.stringContaining('shows') });
  });

  test('with one that lies on the limit is no pass, and claims nothing', () => {
    const entry = pressed([...new Array(19).fill(1.2), 5]);
    expect(entry).toMatchObject({ outcome: 'borderline' });
    expect(entry).not.toMatchObject({ why: expect.stringContaining('shows') });
  });

  test('is not over before the last press', () => {
    expect(pressed(new Array(19).fill(1.2))).toBeUndefined();
  });
});
