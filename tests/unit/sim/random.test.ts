import { describe, expect, test } from 'vitest';
import { randomOf } from '../../../sim/random.ts';

const draws = 50_000;
const many = (draw: () => number): number[] => Array.from({ length: draws }, draw);
const mean = (values: readonly number[]): number => values.reduce((sum, each) => sum + each, 0) / values.length;
const variance = (values: readonly number[]): number => {
  const middle = mean(values);
  return mean(values.map((each) => (each - middle) ** 2));
};

describe('random streams (moments: any handbook of statistics; tolerance 5 standard errors)', () => {
  test('uniform', () => {
    const values = many(() => 0).map(
      (
        (random) => () =>
          random.uniform()
      )(randomOf(4, 'u')),
    );
    expect(Math.abs(mean(values) - 0.5)).toBeLessThan(5 / Math.sqrt(12 * draws));
    expect(Math.abs(variance(values) - 1 / 12)).toBeLessThan(0.002);
    expect(Math.min(...values.slice(0, 1000))).toBeGreaterThanOrEqual(0);
  });

  test('normal: mean, variance, and the share within one sigma', () => {
    const random = randomOf(4, 'n');
    const values = many(() => random.normal());
    expect(Math.abs(mean(values))).toBeLessThan(5 / Math.sqrt(draws));
    expect(Math.abs(variance(values) - 1)).toBeLessThan(5 * Math.sqrt(2 / draws));
    const within = values.filter((each) => Math.abs(each) < 1).length / draws;
    expect(Math.abs(within - 0.682689)).toBeLessThan(5 * Math.sqrt((0.6827 * 0.3173) / draws));
  });

  test('exponential', () => {
    const random = randomOf(4, 'e');
    expect(Math.abs(mean(many(() => random.exponential(7))) / 7 - 1)).toBeLessThan(5 / Math.sqrt(draws));
  });

  test('streams of other names and seeds differ and do not move together', () => {
    const a = many(
      (
        (random) => () =>
          random.normal()
      )(randomOf(1, 'a')),
    );
    for (const other of [randomOf(1, 'b'), randomOf(2, 'a'), randomOf(0, 'a')]) {
      const b = many(() => other.normal());
      expect(Math.abs(mean(a.map((each, index) => each * b[index]!)))).toBeLessThan(5 / Math.sqrt(draws));
    }
  });
});
