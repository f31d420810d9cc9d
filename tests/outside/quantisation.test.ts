import { describe, expect, test } from 'vitest';
import { codeStatistics } from '../../src/measure/reading/code-statistics.ts';
import { convert, Dice } from '../support/probe-stream.ts';
import data from './data/quantisation.json' with { type: 'json' };

/** Root mean square error in converter steps of the mean of windows of `n` readings, over levels spread evenly over a step. */
function rmsErrorLsb(n: number, noiseLsb: number, levels: number): number {
  const dice = new Dice(5);
  let squares = 0;
  for (let i = 0; i < levels; i++) {
    const exact = 500 * 16 + (16 * (i + 0.5)) / levels;
    const codes = Array.from({ length: n }, () => convert(exact, dice, noiseLsb));
    squares += ((codeStatistics(codes)!.mean - exact) / 16) ** 2;
  }
  return Math.sqrt(squares / levels);
}

test('an ideal converter without noise errs by LSB / sqrt(12), and the statistics say so (IEEE 1241)', () => {
  const ideal = data.q_rms_uV_at_3V3['10'] / data.lsb_uV_at_3V3['10'];
  expect(ideal).toBeCloseTo(1 / Math.sqrt(12), 12);
  expect(rmsErrorLsb(1, 0, 400)).toBeCloseTo(ideal, 3);
  expect(rmsErrorLsb(27, 0, 400)).toBeCloseTo(ideal, 3);
  const { uRounding, uRepeat } = codeStatistics(Array.from({ length: 27 }, () => 8000))!;
  expect(uRounding / 16).toBeCloseTo(ideal, 12);
  expect(uRepeat).toBe(0);
});

test('noise above half a step makes averaging worth its readings: 6.02 dB for each factor of 4', () => {
  const gain = 20 * Math.log10(rmsErrorLsb(1, 0.6, 4000) / rmsErrorLsb(16, 0.6, 4000));
  expect(Math.abs(gain - data.snr_gain_db_for_4_pow_n['2'])).toBeLessThan(0.4);
});

test('with noise the rounding that is left is no more than stated', () => {
  for (const noiseLsb of [0.15, 0.25, 0.35, 0.5, 0.6]) {
    const dice = new Dice(17);
    const error = rmsErrorLsb(400, noiseLsb, 60);
    const stated = codeStatistics(Array.from({ length: 400 }, () => convert(8003.2, dice, noiseLsb)))!;
    expect(error).toBeLessThan(1.25 * Math.hypot(stated.uRounding / 16, stated.uRepeat / 16));
  }
});

describe('oversampling (application note AVR121)', () => {
  test('a reading sums 4^2 conversions: two bits more, as the example', () => {
    const { samples, sum, result } = data.decimate_10_to_12;
    const total = samples.reduce((a, b) => a + b, 0);
    expect(total).toBe(sum);
    expect(total >> 2).toBe(result);
    // a code is that sum, and its mean in converter steps is the sum over 16
    expect(codeStatistics([total])!.mean / 16).toBe(sum / 16);
  });
});
