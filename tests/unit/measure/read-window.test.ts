import { describe, expect, test } from 'vitest';
import {
  codeOfOhm,
  endCode,
  ohmOfCode,
  ohmWithPartials,
  rangeCalibration,
  rangeEndOhm,
} from '../../../src/measure/reading/calibration.ts';
import { nominalCalibration } from '../../../src/measure/reading/nominal.ts';
import { readWindow } from '../../../src/measure/reading/read-window.ts';
import type { Calibration, CaptureWindow, Level } from '../../../src/measure/types.ts';
import { flagBits, frontEndTable, rangeTable } from '../../../src/protocol/table.ts';
import { convert, Dice } from '../../support/probe-stream.ts';

function windowOf(
  codes: number[],
  range: number,
  level: Level = 'normal',
  bits: number = flagBits.excitation,
): CaptureWindow {
  return { tUs: 0, periodUs: 884, range, level, flagBits: bits, codes };
}

function at(ohm: number, range: number, level: Level = 'normal', n = 27): CaptureWindow {
  const dice = new Dice(range + 1);
  const code = codeOfOhm(ohm, rangeCalibration(nominalCalibration, range, level)!);
  return windowOf(
    Array.from({ length: n }, () => convert(code, dice)),
    range,
    level,
  );
}

describe('the nominal calibration', () => {
  test('holds each range and level that the probe offers', () => {
    const offered = rangeTable.flatMap((row) => [
      ...(row.gainNormal > 0 ? [`${row.id} normal`] : []),
      ...(Number(row.gainDry) > 0 ? [`${row.id} dry`] : []),
    ]);
    expect(nominalCalibration.ranges.map(({ range, level }) => `${range} ${level}`).sort()).toEqual(offered.sort());
  });

  test('has the codes of the wire protocol, section 7', () => {
    const range = rangeCalibration(nominalCalibration, 2, 'normal')!;
    expect(range.nOff).toBeCloseTo(327.68, 9);
    // the attenuator takes a millionth off on this range
    expect(range.nOpen / 13_434.88).toBeCloseTo(1, 5);
  });

  test('survives JSON', () => {
    expect(JSON.parse(JSON.stringify(nominalCalibration))).toEqual(nominalCalibration);
  });
});

describe('code to ohm', () => {
  test.each(nominalCalibration.ranges)('and back, on range $range at the $level level', (entry) => {
    for (const share of [0, 0.001, 0.05, 0.3, 0.9]) {
      const ohm = share * rangeEndOhm(entry);
      expect(ohmOfCode(codeOfOhm(ohm, entry), entry)).toBeCloseTo(ohm, 9 - Math.ceil(Math.log10(entry.rsOhm)));
    }
    expect(codeOfOhm(Number.POSITIVE_INFINITY, entry)).toBe(entry.nOpen);
    expect(ohmOfCode(entry.nOpen, entry)).toBe(Number.POSITIVE_INFINITY);
    expect(endCode(entry)).toBeLessThan(frontEndTable.converterCodes * frontEndTable.sumOf);
  });

  test.each([0.1, 0.5, 0.9])('has the partial derivatives of finite differences at %d of the open level', (share) => {
    const entry = rangeCalibration(nominalCalibration, 3, 'normal')!;
    const code = entry.nOff + share * (entry.nOpen - entry.nOff);
    const partials = ohmWithPartials(code, entry);
    const step = 0.01;
    const slope = (change: (by: number) => number): number => (change(step) - change(-step)) / (2 * step);
    expect(partials.byCode / slope((by) => ohmOfCode(code + by, entry))).toBeCloseTo(1, 6);
    expect(partials.byOff / slope((by) => ohmOfCode(code, { ...entry, nOff: entry.nOff + by }))).toBeCloseTo(1, 6);
    expect(partials.byOpen / slope((by) => ohmOfCode(code, { ...entry, nOpen: entry.nOpen + by }))).toBeCloseTo(1, 6);
    expect(partials.byRs / slope((by) => ohmOfCode(code, { ...entry, rsOhm: entry.rsOhm + by }))).toBeCloseTo(1, 6);
  });
});

describe('a reading', () => {
  test('names its parts, and they make up its uncertainty', () => {
    const reading = readWindow(at(470, 2), nominalCalibration);
    expect(reading.state).toBe('in-range');
    expect(reading.parts.map(({ name }) => name)).toEqual([
      'repeatability',
      'rounding',
      'non-linearity',
      'calibration',
      'tips and leads',
    ]);
    expect(Math.hypot(...reading.parts.map(({ u }) => u))).toBeCloseTo(reading.u, 12);
  });

  test('has few degrees of freedom only where the scatter counts', () => {
    const exact: Calibration = {
      ...nominalCalibration,
      uLeadOhm: 0,
      ranges: nominalCalibration.ranges.map((entry) => ({ ...entry, cov: [0, 0, 0, 0, 0, 0] })),
    };
    expect(readWindow(at(470, 2), nominalCalibration).dof).toBeGreaterThan(1e5);
    const noisy = readWindow(windowOf([6000, 6900, 6300, 6700], 2), exact);
    expect(noisy.dof).toBeGreaterThanOrEqual(3);
    expect(noisy.dof).toBeLessThan(3.1);
  });

  test('takes a calibration with a rounded covariance for what it is', () => {
    const odd: Calibration = {
      ...nominalCalibration,
      ranges: nominalCalibration.ranges.map((entry) => ({ ...entry, cov: [1, 5, 0, 1, 0, 0] })),
    };
    expect(readWindow(at(470, 2), odd).u).toBeGreaterThan(0);
  });

  test('is not moved by an outlier', () => {
    const clean = at(470, 2);
    const spoiled = { ...clean, codes: clean.codes.map((code, i) => (i === 5 ? 12_000 : code)) };
    const moved = readWindow(spoiled, nominalCalibration).value - readWindow(clean, nominalCalibration).value;
    expect(Math.abs(moved)).toBeLessThan(0.1);
  });

  test('at the dry level reads the same', () => {
    expect(readWindow(at(47, 1, 'dry'), nominalCalibration).value).toBeCloseTo(47, 0);
  });
});

describe('the ends of a range', () => {
  test('10 Mohm is in range, what is clearly more is above', () => {
    expect(readWindow(at(9.5e6, 4), nominalCalibration).state).toBe('in-range');
    expect(readWindow(at(Number.POSITIVE_INFINITY, 4), nominalCalibration)).toMatchObject({
      state: 'above-range',
      value: 10e6,
      rangeEnd: 10e6,
    });
  });

  test('between the two the estimate decides with its uncertainty', () => {
    const reading = readWindow(at(10.1e6, 4), nominalCalibration);
    expect(reading.state).toBe('in-range');
    expect(reading.value + 3 * reading.u).toBeGreaterThan(10e6);
  });

  test('a converter at its end is above range 0', () => {
    const reading = readWindow(windowOf(Array(27).fill(16_368), 0), nominalCalibration);
    expect(reading.state).toBe('above-range');
    expect(reading.rangeEnd).toBeGreaterThan(1.3);
    expect(reading.rangeEnd).toBeLessThan(1.42);
  });

  test('codes far below the live zero are below range', () => {
    expect(readWindow(windowOf(Array(27).fill(150), 1), nominalCalibration).state).toBe('below-range');
    expect(readWindow(at(0, 1), nominalCalibration).state).toBe('in-range');
  });

  test.each([
    [0, 'below-range', -19.9],
    [16_368, 'above-range', 19.9],
  ] as const)('of the voltage channel at code %d are %s', (code, state, value) => {
    const reading = readWindow(windowOf(Array(27).fill(code), 0, 'normal', flagBits.voltage), nominalCalibration);
    expect(reading).toMatchObject({ quantity: 'voltage', state, value });
  });
});

describe('what can not be read', () => {
  test.each([
    ['an empty window', windowOf([], 2)],
    ['codes that are no numbers', windowOf([Number.NaN, 5000], 2)],
    ['a range that no calibration holds', windowOf([5000], 9)],
    ['a level that the range does not have', windowOf([5000], 0, 'dry')],
    ['an empty window of volts', windowOf([], 0, 'normal', flagBits.voltage)],
  ])('%s is unreadable, in finite numbers', (_, window) => {
    const reading = readWindow(window, nominalCalibration);
    expect(reading.state).toBe('unreadable');
    expect(JSON.parse(JSON.stringify(reading))).toEqual(reading);
  });

  test('each reading survives JSON, whatever the codes', () => {
    for (const code of [0, 1, 327, 328, 8192, 12_243, 13_434, 13_435, 16_000, 16_368]) {
      for (const range of [0, 1, 2, 3, 4]) {
        for (const n of [1, 2, 27]) {
          const reading = readWindow(windowOf(Array(n).fill(code), range), nominalCalibration);
          expect(JSON.parse(JSON.stringify(reading))).toEqual(reading);
        }
      }
    }
  });
});
