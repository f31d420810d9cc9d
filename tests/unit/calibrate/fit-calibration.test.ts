import { describe, expect, test } from 'vitest';
import { randomOf } from '../../../sim/random.ts';
import { uCalibrationOhm } from '../../../src/calibrate/fit/calibration-uncertainty.ts';
import { fitCalibration, temperatureUnknownC } from '../../../src/calibrate/fit/fit-calibration.ts';
import type { CalibrationMeta } from '../../../src/calibrate/fit/fit-types.ts';
import type { CalPoint } from '../../../src/calibrate/points/cal-point.ts';
import { codeOfOhm, ohmOfCode, rangeEndOhm } from '../../../src/measure/reading/calibration.ts';
import { calibrationFromBlock } from '../../../src/measure/reading/calibration-from-block.ts';
import { nominalCalibration } from '../../../src/measure/reading/nominal.ts';
import { decodeCalibrationBlock, encodeCalibrationBlock } from '../../../src/protocol/calibration-block.ts';
import { noisyPoints, nominalOf } from './made-points.ts';

const meta: CalibrationMeta = {
  probeSerial: 77,
  dateUnixS: 1_790_000_000,
  validDays: 365,
  temperatureC: 23.4,
  setId: 'BENCH-A',
};
const random = randomOf(12, 'sitting');
const truths = nominalCalibration.ranges.map((nominal) => ({
  ...nominal,
  nOff: nominal.nOff + 2 * random.normal(),
  nOpen: nominal.nOpen * (1 + 0.001 * random.normal()),
  rsOhm: nominal.rsOhm * (1 + 0.002 * random.normal()),
}));
const zero: CalPoint = { range: 0, level: 'voltage', standard: { kind: 'short' }, code: 8195, uCode: 1, n: 28 };
const volt = (value: number, code: number): CalPoint => ({
  ...zero,
  standard: { kind: 'volt', volt: value, uVolt: 0.001 },
  code,
});
const points = [...truths.flatMap((truth) => noisyPoints(truth, random)), zero];

describe('a whole calibration', () => {
  const fit = fitCalibration(points, meta);

  test('holds every range and level, is good, and reads the truth', () => {
    expect(fit.verdict).toBe('good');
    expect(fit.ranges).toHaveLength(9);
    expect(fit.missing).toEqual([]);
    for (const truth of truths) {
      const found = fit.calibration!.ranges.find(({ range, level }) => range === truth.range && level === truth.level)!;
      const ohm = Math.min(truth.rsOhm, rangeEndOhm(truth) / 2);
      expect(ohmOfCode(codeOfOhm(ohm, truth), found) / ohm).toBeCloseTo(1, 2);
    }
  });

  test('passes through the block that a probe keeps, to the precision of its 32-bit numbers', () => {
    const state = decodeCalibrationBlock(encodeCalibrationBlock(fit.block!));
    if (state.state !== 'valid') throw new Error(state.state);
    expect(state.block).toMatchObject({ probeSerial: 77, validDays: 365, temperatureC: 23.4, setId: 'BENCH-A' });
    const back = calibrationFromBlock(state.block);
    for (const own of fit.calibration!.ranges) {
      const other = back.ranges.find(({ range, level }) => range === own.range && level === own.level)!;
      const code = own.nOff + Math.min(0.5 * (own.nOpen - own.nOff), 10_000);
      expect(ohmOfCode(code, other) / ohmOfCode(code, own)).toBeCloseTo(1, 5);
      // strongly correlated parameters: the uncertainty is a small difference of large terms
      const ohm = ohmOfCode(code, own);
      expect(uCalibrationOhm(ohm, other) / uCalibrationOhm(ohm, own)).toBeCloseTo(1, 3);
    }
    expect(back.voltage.nZero).toBeCloseTo(fit.calibration!.voltage.nZero, 2);
  });

  test('tells the common error of the set on every range, also where the open level takes it up', () => {
    const stated = 0.0001 / Math.sqrt(3);
    for (const { range, level, uCommonRel } of fit.calibration!.ranges) {
      expect(uCommonRel! / stated, `${range} ${level}`).toBeGreaterThan(0.95);
      expect(uCommonRel! / stated, `${range} ${level}`).toBeLessThan(1.05);
    }
  });

  test('outliers and residuals point at places in all points', () => {
    const index = points.findIndex(
      ({ range, level, standard }) => range === 3 && level === 'dry' && standard.kind === 'resistor',
    );
    const wrong = points.map((point, i) => (i === index ? { ...point, code: point.code * 1.2 } : point));
    const outliers = fitCalibration(wrong, meta).ranges.flatMap((outcome) => (outcome.ok ? outcome.fit.outliers : []));
    expect(outliers.map((outlier) => outlier.index)).toEqual([index]);
  });

  test('a temperature that was not noted cannot be taken for one', () => {
    expect(fitCalibration(points, { ...meta, temperatureC: null }).block!.temperatureC).toBe(temperatureUnknownC);
  });
});

describe('what is missing or does not fit together', () => {
  const codes = (given: CalPoint[], label: CalibrationMeta = meta): string[] =>
    fitCalibration(given, label).problems.map(({ code }) => code);

  test('all points in one range: the others keep nominal values, and that is said', () => {
    const one = points.filter(({ range, level }) => range === 2 && level === 'normal');
    const fit = fitCalibration(one, meta);
    expect(fit.verdict).toBe('doubtful');
    expect(fit.missing).toHaveLength(8);
    expect(fit.calibration!.ranges.find(({ range }) => range === 4)).toEqual(nominalOf(4));
    expect(fit.block!.entries.map(({ range, level }) => [range, level])).toEqual([[2, 'normal']]);
    expect(codes(one)).toEqual(['missing']);
  });

  test.each([
    ['none', []],
    ['no-such-range', [{ ...points[0]!, level: 'dry' as const }]],
    ['no-such-range', [{ ...points[0]!, range: 7 }]],
  ])('%s is refused, and nothing comes out that could be written', (code, given) => {
    const fit = fitCalibration(given, meta);
    expect(codes(given)).toContain(code);
    expect([fit.verdict, fit.calibration, fit.block]).toEqual(['refused', null, null]);
  });

  test('one point is refused', () => {
    const fit = fitCalibration(points.slice(0, 1), meta);
    expect([fit.verdict, fit.block]).toEqual(['refused', null]);
  });

  test('one refused range refuses the whole', () => {
    const broken = points.map((point, i) => (point.range === 3 ? { ...point, code: 400 + ((i * 977) % 9000) } : point));
    expect(fitCalibration(broken, meta).verdict).toBe('refused');
  });

  test('a source resistor that differs between levels', () => {
    const dry = { ...nominalOf(2, 'dry'), rsOhm: 1030 };
    const given = [...noisyPoints(nominalOf(2), random), ...noisyPoints(dry, random)];
    expect(codes(given)).toContain('levels-disagree');
  });

  test.each([
    ['set-id', { setId: 'a name that is too long' }],
    ['serial', { probeSerial: -1 }],
    ['validity', { validDays: 0 }],
    ['date', { dateUnixS: Number.NaN }],
  ])('a label that the block cannot hold: %s', (code, change) => {
    expect(codes(points, { ...meta, ...change })).toContain(code);
    expect(fitCalibration(points, { ...meta, ...change }).block).toBeNull();
  });
});

describe('the voltage channel', () => {
  const voltageOf = (given: CalPoint[]) => {
    const { voltage } = fitCalibration(given, meta);
    if (voltage?.ok !== true) throw new Error('not fitted');
    return voltage.fit;
  };

  test('with shorted tips alone: the zero, and the scale of its parts', () => {
    const fit = voltageOf([zero]);
    expect(fit.nZero).toBeCloseTo(8195, 6);
    expect(fit.codesPerVolt).toBe(nominalCalibration.voltage.codesPerVolt);
    expect(fit.uCodesPerVoltRel).toBeCloseTo(nominalCalibration.voltage.uCodesPerVoltRel, 9);
  });

  test('with known voltages: both, and the scale far better than its parts', () => {
    const fit = voltageOf([zero, volt(1.5, 8195 + 1.5 * 411), volt(-1.5, 8195 - 1.5 * 411), volt(6, 8195 + 6 * 411)]);
    expect(fit.codesPerVolt).toBeCloseTo(411, 6);
    expect(fit.uCodesPerVoltRel).toBeLessThan(0.003);
    expect([fit.dof, fit.verdict]).toEqual([2, 'good']);
  });

  test('a wrong sign is refused', () => {
    expect(voltageOf([zero, volt(1.5, 8195 - 1.5 * 411), volt(3, 8195 - 3 * 411)]).verdict).toBe('refused');
  });

  test('a resistor is no voltage', () => {
    const { voltage } = fitCalibration([{ ...zero, standard: { kind: 'open' } }], meta);
    expect(voltage?.ok === false && voltage.problem.code).toBe('number');
  });
});
