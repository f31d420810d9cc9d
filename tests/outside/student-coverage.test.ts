import { describe, expect, test } from 'vitest';
import { codeOfOhm, rangeCalibration } from '../../src/measure/reading/calibration.ts';
import { codeStatistics } from '../../src/measure/reading/code-statistics.ts';
import { expandedUncertainty } from '../../src/measure/reading/format.ts';
import { nominalCalibration } from '../../src/measure/reading/nominal.ts';
import { readWindow } from '../../src/measure/reading/read-window.ts';
import type { RangeCalibration } from '../../src/measure/types.ts';
import { flagBits } from '../../src/protocol/table.ts';
import { coverageFactor } from '../../src/statistics/distributions/distribution.ts';
import { convert, Dice } from '../support/probe-stream.ts';

// What an expanded uncertainty promises (JCGM 100:2008, 6.2.1): the interval holds the true value in about 95 % of cases.
const trials = 3000;
/** Three and a half standard deviations of a count of `trials` at 0.95. */
const binomial = 3.5 * Math.sqrt((0.95 * 0.05) / trials);

function coverage(holds: (dice: Dice) => boolean, seed: number): number {
  const dice = new Dice(seed);
  let held = 0;
  for (let i = 0; i < trials; i++) if (holds(dice)) held++;
  return held / trials;
}

/** A probe whose parts were drawn from what the calibration says of them. */
function drawn(entry: RangeCalibration, dice: Dice): RangeCalibration {
  const [offOff, offOpen, , openOpen, , rsRs] = entry.cov;
  // Cholesky of the covariance of nOff and nOpen
  const first = Math.sqrt(offOff);
  const a = dice.normal();
  const nOff = entry.nOff + first * a;
  const nOpen = entry.nOpen + (offOpen / first) * a + Math.sqrt(openOpen - offOpen ** 2 / offOff) * dice.normal();
  return { ...entry, nOff, nOpen, rsOhm: entry.rsOhm + Math.sqrt(rsRs) * dice.normal() };
}

describe('repeatability alone', () => {
  test.each([4, 8, 27, 54])('of %d readings with white noise', (n) => {
    const share = coverage((dice) => {
      const exact = 6000 + 16 * dice.uniform();
      const { mean, uRepeat, dofRepeat } = codeStatistics(Array.from({ length: n }, () => convert(exact, dice)))!;
      return Math.abs(mean - exact) <= coverageFactor(0.95, dofRepeat) * uRepeat;
    }, n);
    expect(share).toBeGreaterThan(0.95 - binomial);
    // leaving room for neighbours that look alike by chance makes some intervals wider
    expect(share).toBeLessThan(0.95 + binomial + 0.015);
  });

  test('of a window with mains hum of any phase', () => {
    const share = coverage((dice) => {
      const phase = 2 * Math.PI * dice.uniform();
      const codes = Array.from({ length: 27 }, (_, i) =>
        convert(6000 + 20 * Math.sin(2 * Math.PI * 50 * i * 884e-6 + phase), dice),
      );
      const { mean, uRepeat, dofRepeat } = codeStatistics(codes)!;
      return Math.abs(mean - 6000) <= coverageFactor(0.95, dofRepeat) * uRepeat;
    }, 3);
    expect(share).toBeGreaterThan(0.95 - binomial);
  });
});

describe('whole reading of an uncalibrated probe', () => {
  const cases = [
    { ohm: 0.05, range: 0 },
    { ohm: 0.43, range: 0 },
    { ohm: 4.7, range: 1 },
    { ohm: 470, range: 2 },
    { ohm: 47e3, range: 3 },
    { ohm: 1e6, range: 4 },
    { ohm: 5e6, range: 4 },
  ];
  test.each(cases)('of $ohm ohm on range $range', ({ ohm, range }) => {
    const entry = rangeCalibration(nominalCalibration, range, 'normal')!;
    const share = coverage((dice) => {
      const probe = drawn(entry, dice);
      const lead = nominalCalibration.leadOhm + nominalCalibration.uLeadOhm * dice.normal();
      const nonlinear = 8 * (2 * dice.uniform() - 1);
      const exact = codeOfOhm(ohm + lead, probe) + nonlinear;
      const codes = Array.from({ length: 27 }, () => convert(exact, dice));
      const window = { tUs: 0, periodUs: 884, range, level: 'normal' as const, flagBits: flagBits.excitation, codes };
      const reading = readWindow(window, nominalCalibration);
      return Math.abs(reading.value - ohm) <= expandedUncertainty(reading);
    }, range + 1);
    expect(share).toBeGreaterThan(0.95 - binomial - 0.005);
    expect(share).toBeLessThan(0.95 + binomial + 0.01);
  });
});
