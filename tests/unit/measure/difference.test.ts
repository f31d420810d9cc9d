import { describe, expect, it } from 'vitest';
import { codeOfOhm, rangeCalibration } from '../../../src/measure/calibration.ts';
import { readDifference } from '../../../src/measure/difference.ts';
import { nominalCalibration } from '../../../src/measure/nominal.ts';
import { readWindow } from '../../../src/measure/read-window.ts';
import type { Calibration, CaptureWindow, Level } from '../../../src/measure/types.ts';
import { convert, Dice } from './batches.ts';

const dice = new Dice(5);

function windowOf(
  ohm: number,
  range: number,
  level: Level = 'normal',
  of: Calibration = nominalCalibration,
): CaptureWindow {
  const code = codeOfOhm(ohm + of.leadOhm, rangeCalibration(of, range, level)!);
  const codes = Array.from({ length: 27 }, () => convert(code, dice));
  return { tUs: 0, periodUs: 884, range, level, flagBits: 0, codes };
}

describe('the difference of two readings', () => {
  it('on one range knows what its calibration has in common', () => {
    const a = windowOf(480, 2);
    const b = windowOf(470, 2);
    const { ohm, u } = readDifference(a, b, nominalCalibration)!;
    const apart = Math.hypot(readWindow(a, nominalCalibration).u, readWindow(b, nominalCalibration).u);
    expect(Math.abs(ohm - 10)).toBeLessThan(2 * u);
    expect(u).toBeLessThan(apart / 3);
  });

  it('on one range and level agrees with a Monte Carlo over the probe (JCGM 101:2008)', () => {
    const entry = rangeCalibration(nominalCalibration, 2, 'normal')!;
    const [offOff, , , openOpen, , rsRs] = entry.cov;
    const off: number[] = [];
    for (let i = 0; i < 2000; i++) {
      const zero = Math.sqrt(offOff) * dice.normal();
      const ranges = nominalCalibration.ranges.map((one) =>
        one === entry
          ? {
              ...one,
              nOff: one.nOff + zero,
              nOpen: one.nOpen + zero + Math.sqrt(openOpen - offOff) * dice.normal(),
              rsOhm: one.rsOhm + Math.sqrt(rsRs) * dice.normal(),
            }
          : one,
      );
      const probe = { ...nominalCalibration, ranges };
      const found = readDifference(
        windowOf(600, 2, 'normal', probe),
        windowOf(470, 2, 'normal', probe),
        nominalCalibration,
      )!;
      off.push(found.ohm - 130);
    }
    const seen = Math.sqrt(off.reduce((sum, value) => sum + value ** 2, 0) / off.length);
    const { parts } = readDifference(windowOf(600, 2), windowOf(470, 2), nominalCalibration)!;
    const drawn = parts.filter(({ name }) => ['calibration', 'repeatability'].includes(name));
    const stated = Math.hypot(...drawn.map((part) => part.u));
    expect(seen / stated).toBeGreaterThan(0.93);
    expect(seen / stated).toBeLessThan(1.07);
  });

  it('at two levels is between two calibrations', () => {
    const { ohm, u } = readDifference(windowOf(470, 2, 'dry'), windowOf(470, 2), nominalCalibration)!;
    expect(Math.abs(ohm)).toBeLessThan(3 * u);
    expect(u).toBeGreaterThan(1);
  });

  it('with an open is none', () => {
    expect(readDifference(windowOf(1e9, 4), windowOf(470, 2), nominalCalibration)).toBeNull();
    expect(readDifference({ ...windowOf(470, 2), codes: [] }, windowOf(470, 2), nominalCalibration)).toBeNull();
  });
});
