import type { Random } from '../../../sim/random.ts';
import { codeWithPartials } from '../../../src/calibrate/fit/range-curve.ts';
import type { CalPoint, Standard } from '../../../src/calibrate/points/cal-point.ts';
import { nominalCalibration } from '../../../src/measure/reading/nominal.ts';
import type { Level, RangeCalibration } from '../../../src/measure/types.ts';

/** Residue, touch and linearity errors that the points are made with: those that a fit assumes by default. */
export const leadOhm = nominalCalibration.leadOhm;
const uTouchOhm = 0.0005;
const uLinearityCode = 8 / Math.sqrt(3);

/** Values that are presented on each range, in ohm. */
const valuesOhm: Readonly<Record<number, readonly number[]>> = {
  0: [0.1, 0.22, 0.47, 1],
  1: [1, 4.7, 10, 33, 100],
  2: [100, 470, 1000, 3300, 6800],
  3: [6800, 22e3, 47e3, 100e3, 180e3],
  4: [180e3, 470e3, 1e6, 2.2e6, 10e6],
};

/** Returns the nominal entry of a range and level. */
export function nominalOf(range: number, level: Level = 'normal'): RangeCalibration {
  return nominalCalibration.ranges.find((entry) => entry.range === range && entry.level === level)!;
}

/** Returns a resistor of 0.1 % whose common part is 0.01 %, both as standard uncertainties of rectangular limits. */
export function resistor(ohm: number): Extract<Standard, { kind: 'resistor' }> {
  return {
    kind: 'resistor',
    ohm,
    uOhm: (ohm * 0.001) / Math.sqrt(3),
    uCommonRel: 0.0001 / Math.sqrt(3),
    name: `${ohm}`,
  };
}

/** Returns the points of a sitting without any error: shorted tips, open tips and the resistors of the range. */
export function exactPoints(truth: RangeCalibration, ohms = valuesOhm[truth.range]!): CalPoint[] {
  const { range, level } = truth;
  const point = (standard: Standard, ohm: number): CalPoint => ({
    range,
    level,
    standard,
    code: Math.min(16_368, codeWithPartials(ohm + leadOhm, truth).code),
    uCode: 1,
    n: 28,
  });
  return [
    point({ kind: 'short' }, 0),
    point({ kind: 'open' }, Number.POSITIVE_INFINITY),
    ...ohms.map((ohm) => point(resistor(ohm), ohm)),
  ];
}

/** Returns the same with every error that the points are said to have, drawn as normal; one common error for the whole set. */
export function noisyPoints(truth: RangeCalibration, random: Random, ohms = valuesOhm[truth.range]!): CalPoint[] {
  const common = random.normal();
  return exactPoints(truth, ohms).map((point) => {
    const { standard } = point;
    const own =
      standard.kind === 'resistor'
        ? standard.ohm * (1 + standard.uCommonRel * common) + standard.uOhm * random.normal()
        : 0;
    const ohm = standard.kind === 'open' ? Number.POSITIVE_INFINITY : own + leadOhm + uTouchOhm * random.normal();
    const code = codeWithPartials(ohm, truth).code + uLinearityCode * random.normal() + point.uCode * random.normal();
    return { ...point, code };
  });
}

/** Returns the points with one changed. */
export function withPoint(points: readonly CalPoint[], index: number, change: Partial<CalPoint>): CalPoint[] {
  return points.map((point, i) => (i === index ? { ...point, ...change } : point));
}
