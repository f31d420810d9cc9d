import { createElement } from 'react';
import { describe, expect, test } from 'vitest';
import { fitCalibration } from '../../../src/calibrate/fit/fit-calibration.ts';
import { nextStandard } from '../../../src/calibrate/fit/next-standard.ts';
import type { CalPoint } from '../../../src/calibrate/points/cal-point.ts';
import { CalibrateScreen } from '../../../src/faces/screen/calibration/calibrate-screen.tsx';
import { codeOfOhm, rangeCalibration } from '../../../src/measure/reading/calibration.ts';
import { nominalCalibration } from '../../../src/measure/reading/nominal.ts';
import type { Level } from '../../../src/measure/types.ts';
import type { CalibrationState } from '../../../src/session/calibration/calibration-state.ts';
import { openCalibration } from '../../../src/session/calibration/open-calibration.ts';
import { calibrationOf } from '../../../src/session/engine/calibration-in-force.ts';
import {
  type CalibrationUi,
  calibrationKeyStep,
  freshCalibrationUi,
} from '../../../src/view/calibration/calibration-keys.ts';
import { calibrationView } from '../../../src/view/calibration/calibration-view.ts';
import { resistorOf } from '../../support/emulated-calibration.ts';
import { ascii, frameOf, seenOf, sizes, unicode } from '../../support/frames.ts';

const meta = { probeSerial: 77, dateUnixS: 1_767_225_600, validDays: 365, temperatureC: 23, setId: 'BOARD' };
const identity = {
  protoMajor: 1,
  protoMinor: 0,
  fwMajor: 1,
  fwMinor: 0,
  fwBuild: 1,
  probeSerial: 0x77,
  capabilities: ['seatSense'],
  resetCause: [],
  bootCount: 1,
  maxPayload: 64,
};
const ohms = [0.1, 0.47, 1, 4.7, 33, 100, 470, 2200, 10e3, 47e3, 220e3, 1e6, 3.3e6];

/** A session in which the first so many standards have been read by a probe of nominal parts; `wrong` lies where 470 ohm should. */
function sat(done: number, wrong?: number): CalibrationState {
  const state = openCalibration(ohms.map(resistorOf), meta);
  const standards = state.standards.map((one, i) => {
    if (i >= done) return one;
    const taken = one.combinations.map(({ range, level }, step): CalPoint => {
      const entry = level === 'voltage' ? null : rangeCalibration(nominalCalibration, range, level as Level)!;
      const { standard } = one;
      const marked =
        standard.kind === 'resistor' ? standard.ohm : standard.kind === 'short' ? 0 : Number.POSITIVE_INFINITY;
      const ohm = (marked === 470 && wrong !== undefined ? wrong : marked) + nominalCalibration.leadOhm;
      const code = entry === null ? nominalCalibration.voltage.nZero : codeOfOhm(ohm, entry);
      return { range, level, standard, code: code + 3 * Math.sin(i * 7 + step), uCode: 0.5, n: 226 };
    });
    return { ...one, taken };
  });
  const points = standards.flatMap(({ taken }) => taken.filter((point) => point !== null));
  const at = standards[done]?.id ?? null;
  return {
    ...state,
    standards,
    at,
    connected: true,
    identity,
    before: calibrationOf({ state: 'blank' }, 0x77, 0),
    stage: 'reading',
    progress: 0.4,
    fit: points.length === 0 ? null : fitCalibration(points, meta),
    next:
      points.length === 0
        ? null
        : (nextStandard(
            points,
            ohms.slice(done).map((ohm) => resistorOf(ohm).standard),
          )[0] ?? null),
  };
}

const scenes: Record<string, CalibrationState> = {
  'before the probe is found': openCalibration(ohms.map(resistorOf), meta),
  'the first standard': sat(0),
  'some standards': sat(6),
  'a wrong resistor': {
    ...sat(14, 560),
    stage: 'lifting',
    message: { text: 'That reads 560 ohm, which is not 470 ohm.', isTrouble: true },
  },
  'a voltage on the tips': { ...sat(3), live: true },
  'a lost link': { ...sat(3), connected: false, linkText: 'the cable was pulled' },
  'the check resistor': { ...sat(15), at: null, stage: 'check' },
};

const keyboards: Record<string, CalibrationUi> = {
  rest: freshCalibrationUi(),
  help: { ...freshCalibrationUi(), mode: 'help' },
  typing: { ...freshCalibrationUi(), mode: 'line', line: '470 ohm 0.1 %', message: null },
  leaving: { ...freshCalibrationUi(), mode: 'leave', line: null, message: 'Leave?' },
};

async function seen(state: CalibrationState, ui: CalibrationUi, cols: number, rows: number, theme = unicode) {
  const view = calibrationView(state, ui);
  return seenOf(frameOf(createElement(CalibrateScreen, { view, cols, rows, theme }), cols), cols, rows);
}

describe.each(Object.entries(scenes))('%s', (_name, state) => {
  test.each(sizes)('fits %dx%d', async (cols, rows) => {
    for (const theme of [unicode, ascii]) {
      for (const ui of Object.values(keyboards)) {
        const { lines, broken } = await seen(state, ui, cols, rows, theme);
        expect(broken).toBe(0);
        expect(
          lines
            .slice(rows - 1)
            .join('')
            .trim(),
        ).toBe('');
        if (theme === ascii) expect(lines.join('')).toMatch(/^[\x20-\x7e]*$/);
      }
    }
  });
});

test('a person sees what to touch, each range with its verdict, and what helps most', async () => {
  const text = (await seen(scenes['some standards']!, freshCalibrationUi(), 80, 24)).lines.join('\n');
  expect(text).toContain('33 ohm');
  expect(text).toMatch(/1 normal +\d+ +10\.\d+ ohm/);
  expect(text).toMatch(/helps most/);
  expect(text).toMatch(/setting 1 of \d/);
  expect(text).toContain('not calibrated');
});

test('a point that does not belong is seen in its range, as a mark and as a word', async () => {
  const text = (await seen(scenes['a wrong resistor']!, freshCalibrationUi(), 120, 40)).lines.join('\n');
  expect(text).toMatch(/2 normal .*[◀▶x].*(doubtful|refused)/);
});

test('on the least size the table gives way, not what to do', async () => {
  const text = (await seen(scenes['some standards']!, freshCalibrationUi(), 60, 16)).lines.join('\n');
  expect(text).toContain('Hold still until the tone');
});

describe('keys', () => {
  const press = (ui: CalibrationUi, text: string) =>
    [...text].reduce(
      (at, char) => {
        const step = calibrationKeyStep(at.ui, char === '\n' ? { input: '', return: true } : { input: char });
        return { ui: step.ui, events: [...at.events, ...step.events] };
      },
      { ui, events: [] as ReturnType<typeof calibrationKeyStep>['events'] },
    );

  test.each([
    ['470 ohm 0.1 %', 470],
    ['4K7B', 4700],
    ['yellow violet black black violet', 470],
  ])("a resistor typed as '%s' is added", (text, ohm) => {
    const { ui, events } = press(freshCalibrationUi(), `a${text}\n`);
    expect(events).toEqual([
      { type: 'add', standard: expect.objectContaining({ standard: expect.objectContaining({ ohm }) }) },
    ]);
    expect(ui.mode).toBe('plain');
  });

  test('a value that nobody makes earns a question', () => {
    expect(press(freshCalibrationUi(), 'a480 ohm 1 %\n').ui.message).toMatch(/did you mean/);
  });

  test('what is no resistor is said, and the line stays to be mended', () => {
    const { ui, events } = press(freshCalibrationUi(), 'aelephant\n');
    expect(events).toEqual([]);
    expect(ui).toMatchObject({ mode: 'line', line: 'elephant' });
    expect(ui.message).not.toBeNull();
  });

  test.each([
    ['s', 'skip'],
    ['r', 'again'],
    ['fy', 'finish'],
    ['qy', 'quit'],
  ])('%s: %s', (keys, type) => {
    expect(press(freshCalibrationUi(), keys).events).toEqual([{ type }]);
  });

  test.each(['fn', 'qn', 'x', '?q'])('%s does nothing', (keys) => {
    expect(press(freshCalibrationUi(), keys)).toMatchObject({ events: [], ui: { mode: 'plain' } });
  });
});
