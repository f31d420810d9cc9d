// Normality and outliers against published worked examples; sources in data/normal-samples.json.
import { describe, expect, test } from 'vitest';
import { shapiroWilk } from '../../src/statistics/normality.ts';
import { esdSteps, outlyingValues } from '../../src/statistics/outlier-test.ts';
import data from './data/normal-samples.json' with { type: 'json' };
import { normals } from './seeded-normals.ts';

describe('Shapiro and Wilk', () => {
  test('finds the W that the paper prints, and the probability of a general scientific library', () => {
    const { x, w, wPrinted, p } = data.weights;
    const found = shapiroWilk(x)!;
    expect(found.w).toBeCloseTo(wPrinted, 2);
    expect(found.w).toBeCloseTo(w, 8);
    expect(found.p).toBeCloseTo(p, 6);
  });

  // what a test of 5 % promises: it rejects normal samples in 5 % (within four standard deviations of 4000 binomial tries)
  test.each([4, 8, 11, 12, 30])('rejects one in twenty normal samples of %i', (n) => {
    const draw = normals(n);
    const tries = 4000;
    let rejected = 0;
    for (let i = 0; i < tries; i++) if (shapiroWilk(Array.from({ length: n }, draw))!.p < 0.05) rejected++;
    // the approximation itself is good to about half a percent (Royston 1995)
    expect(Math.abs(rejected / tries - 0.05)).toBeLessThan(0.005 + 4 * Math.sqrt((0.05 * 0.95) / tries));
  });

  test('has the closed distribution of three values: W of 0, 1, 1 + x', () => {
    // W is 1 for evenly spaced values and 3/4 for two equal ones (Shapiro and Wilk 1965, 2)
    expect(shapiroWilk([1, 2, 3])).toMatchObject({ w: 1, p: 1 });
    expect(shapiroWilk([1, 1, 5])!.w).toBeCloseTo(0.75, 12);
    expect(shapiroWilk([1, 1, 5])!.p).toBeCloseTo(0, 6);
  });

  test('can say nothing of too few or equal values', () => {
    expect(shapiroWilk([1, 2])).toBeNull();
    expect(shapiroWilk([3, 3, 3, 3])).toBeNull();
  });
});

describe('outliers', () => {
  test("has the statistics and critical values of Rosner's example, and its three outliers", () => {
    const steps = esdSteps(data.rosner, 10);
    steps.forEach(({ distance, critical }, i) => {
      // the handbook cuts some of its digits in place of rounding
      expect(Math.abs(distance - data.rosnerDistances[i]!)).toBeLessThanOrEqual(0.0011);
      expect(Math.abs(critical - data.rosnerCritical[i]!)).toBeLessThanOrEqual(0.0011);
    });
    expect(steps).toHaveLength(10);
    expect(outlyingValues(data.rosner).sort()).toEqual([51, 52, 53]);
  });

  test("has Grubbs' statistic and finds his outlier", () => {
    const { x, g, outlier } = data.grubbs;
    expect(esdSteps(x, 1)[0]).toMatchObject({ index: outlier });
    expect(esdSteps(x, 1)[0]!.distance).toBeCloseTo(g, 3);
    expect(outlyingValues(x)).toEqual([outlier]);
  });

  test.each(data.grubbsCritical.rows)('has the critical value of %i values', (n, critical) => {
    const values = Array.from({ length: n! }, (_, i) => i);
    expect(Math.abs(esdSteps(values, 1)[0]!.critical - critical!)).toBeLessThan(0.002);
  });

  test('names one in about 5 % of clean samples', () => {
    const draw = normals(7);
    let named = 0;
    for (let i = 0; i < 2000; i++) if (outlyingValues(Array.from({ length: 20 }, draw)).length > 0) named++;
    expect(named / 2000).toBeGreaterThan(0.03);
    expect(named / 2000).toBeLessThan(0.075);
  });
});
