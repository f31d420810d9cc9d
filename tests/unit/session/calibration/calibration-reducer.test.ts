import { describe, expect, test } from 'vitest';
import { codeOfOhm, rangeCalibration } from '../../../../src/measure/reading/calibration.ts';
import { nominalCalibration } from '../../../../src/measure/reading/nominal.ts';
import { readWindow } from '../../../../src/measure/reading/read-window.ts';
import type { CaptureWindow, Level } from '../../../../src/measure/types.ts';
import { flagBits } from '../../../../src/protocol/table.ts';
import { stepCalibration } from '../../../../src/session/calibration/calibration-reducer.ts';
import type { CalibrationEvent, CalibrationState } from '../../../../src/session/calibration/calibration-state.ts';
import { openCalibration } from '../../../../src/session/calibration/open-calibration.ts';
import { calibrationOf } from '../../../../src/session/engine/calibration-in-force.ts';
import { calibrationLines } from '../../../../src/view/calibration/calibration-lines.ts';
import { resistorOf } from '../../../support/emulated-calibration.ts';

const meta = { probeSerial: 0, dateUnixS: 1_767_225_600, validDays: 365, temperatureC: null, setId: '' };
const identity = {
  protoMajor: 1,
  protoMinor: 0,
  fwMajor: 1,
  fwMinor: 0,
  fwBuild: 1,
  probeSerial: 77,
  capabilities: ['seatSense'],
  resetCause: [],
  bootCount: 1,
  maxPayload: 64,
};
const connected: CalibrationEvent = {
  type: 'connected',
  identity,
  path: 'test',
  before: calibrationOf({ state: 'blank' }, 77, 0),
};

function run(state: CalibrationState, ...events: CalibrationEvent[]) {
  return events.reduce(
    (at, event) => {
      const step = stepCalibration(at.state, event);
      return { state: step.state, effects: [...at.effects, ...step.effects] };
    },
    { state, effects: [] as ReturnType<typeof stepCalibration>['effects'] },
  );
}

/** What a probe of nominal parts reads at the setting in hand. */
function capture(state: CalibrationState, ohm: number): CalibrationEvent {
  const hand = state.standards.find(({ id }) => id === state.at)!;
  const { range, level } = hand.combinations[state.step]!;
  const isVolt = level === 'voltage';
  const entry = isVolt ? null : rangeCalibration(nominalCalibration, range, level as Level);
  const code = entry === null ? nominalCalibration.voltage.nZero : codeOfOhm(ohm + nominalCalibration.leadOhm, entry);
  const window: CaptureWindow = {
    tUs: 0,
    periodUs: 884,
    range,
    level: level === 'dry' ? 'dry' : 'normal',
    flagBits: isVolt ? flagBits.voltage : flagBits.excitation,
    codes: Array.from({ length: 27 }, (_, i) => Math.round(code) + (i % 3) - 1),
  };
  return { type: 'captured', window, reading: readWindow(window, nominalCalibration) };
}

/** Reads the standard in hand at all its settings. */
function readAll(state: CalibrationState, ohm: number): CalibrationState {
  let now = state;
  const { at } = state;
  while (now.at === at && now.stage !== 'lifting') now = run(now, capture(now, ohm), { type: 'mode-set' }).state;
  return now;
}

function begun(...ohms: number[]): CalibrationState {
  return run(openCalibration(ohms.map(resistorOf), meta), connected, { type: 'mode-set' }).state;
}

describe('a session, step by step', () => {
  test('begins with the tips held together, then in the air, then a resistor', () => {
    let state = begun(100);
    expect(state).toMatchObject({ at: 'short', stage: 'asking' });
    state = run(readAll(state, 0), { type: 'lift' }, { type: 'mode-set' }).state;
    expect(state).toMatchObject({ at: 'open', stage: 'asking' });
    state = readAll(state, Number.POSITIVE_INFINITY);
    expect(state).toMatchObject({ at: '100 ohm', stage: 'asking' });
  });

  test('lifted too soon keeps what was read and asks for the rest', () => {
    const one = run(begun(100), capture(begun(100), 0), { type: 'lift' }).state;
    expect(one.at).toBe('short');
    expect(one.step).toBe(1);
    expect(one.message?.isTrouble).toBe(true);
  });

  test('sounds once a standard, after its last setting', () => {
    let state = begun(100);
    let sounds = 0;
    const count = state.standards[0]!.combinations.length;
    for (let i = 0; i < count; i++) {
      const step = run(state, capture(state, 0));
      sounds += step.effects.filter((effect) => effect.do === 'sound').length;
      if (i < count - 1) expect(sounds).toBe(0);
      state = step.state;
    }
    expect(sounds).toBe(1);
  });

  test('takes nothing of an unsteady touch, and says so', () => {
    const state = begun(100);
    const why = 'jumping';
    const step = run(state, { type: 'make' }, { type: 'unsteady', why });
    expect(step.state.standards[0]!.taken.every((point) => point === null)).toBe(true);
    expect(step.effects).toContainEqual({ do: 'sound', sound: 'unsteady' });
    expect(step.state.message?.text).toContain(why);
  });

  test('says what a voltage on the tips means, and goes on when it is gone', () => {
    const state = begun(100);
    const live = run(state, { type: 'live', on: true });
    expect(live.state.live).toBe(true);
    const gone = run(live.state, { type: 'live', on: false });
    expect(gone.effects.some((effect) => effect.do === 'mode')).toBe(true);
  });

  test('goes on after a voltage that came when all of a standard was read', () => {
    const state = readAll(begun(100), 0);
    expect(state.stage).toBe('lifting');
    const { state: after } = run(state, { type: 'live', on: true }, { type: 'live', on: false }, { type: 'mode-set' });
    expect(after).toMatchObject({ at: 'open', stage: 'asking' });
  });

  test('begins the standard in hand again when the probe comes back', () => {
    const state = run(begun(100), { type: 'disconnected', why: 'cable' }).state;
    expect(state.connected).toBe(false);
    const back = run(state, connected);
    expect(back.state.at).toBe('short');
    expect(back.effects.some((effect) => effect.do === 'mode')).toBe(true);
  });

  test('takes a resistor that is added, and tells nothing of one that no range reads', () => {
    const state = run(
      begun(),
      { type: 'add', standard: resistorOf(330) },
      { type: 'add', standard: resistorOf(50e6) },
    ).state;
    expect(state.standards.map(({ id }) => id)).toEqual(['short', 'open', '330 ohm', '50 Mohm']);
    expect(state.standards.map(({ skipped }) => skipped)).toEqual([false, false, false, true]);
  });

  test('without resistors named beforehand waits for them, says what would help, and ends when it is finished', () => {
    let state = run(readAll(begun(), 0), { type: 'lift' }, { type: 'mode-set' }).state;
    state = readAll(state, Number.POSITIVE_INFINITY);
    expect(state).toMatchObject({ at: null, stage: 'asking', end: null });
    expect(state.next?.standard.kind).toBe('resistor');
    const added = run(state, { type: 'add', standard: resistorOf(330) }, { type: 'mode-set' });
    expect(added.state).toMatchObject({ at: '330 ohm', stage: 'asking' });
    // both ends alone are no calibration
    expect(run(state, { type: 'finish' }).state).toMatchObject({ end: 'done', fit: null });
  });

  test('tells each standard that was taken in a line', () => {
    const before = begun(100);
    const after = readAll(before, 0);
    expect(calibrationLines(before, { type: 'lift' }, after).join('\n')).toContain('taken: the tips held together');
  });

  test('changes no state that it was given', () => {
    const state = begun(100);
    const copy = structuredClone(state);
    run(state, capture(state, 0), { type: 'lift' }, { type: 'skip' }, { type: 'again' }, { type: 'quit' });
    expect(state).toEqual(copy);
  });
});
