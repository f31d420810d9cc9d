// Chi-square, normal and noncentral t against published numbers; each source is named beside its check.
import { describe, expect, test } from 'vitest';
import {
  chiSquareCdf,
  chiSquareQuantile,
  chiSquareTail,
  normalCdf,
  normalQuantile,
  studentCdf,
} from '../../src/statistics/distributions/distribution.ts';
import { noncentralTCdf, noncentralTQuantile } from '../../src/statistics/distributions/noncentral-t.ts';
import tolerance from './data/tolerance-factors.json' with { type: 'json' };

describe('chi-square', () => {
  test('has the 1 % quantile of 42 degrees of freedom that the e-Handbook example needs', () => {
    expect(chiSquareQuantile(0.01, 42)).toBeCloseTo(tolerance.handbook.chi2_01_42, 10);
  });

  // closed forms (any textbook): 2 degrees of freedom: exp(-x/2); 4: (1 + x/2) exp(-x/2); 1: two normal tails
  test.each([1e-6, 0.1, 1, 3.84, 20, 300])('holds its closed forms at %d', (x) => {
    expect(Math.abs(chiSquareTail(x, 2) / Math.exp(-x / 2) - 1)).toBeLessThan(1e-12);
    expect(Math.abs(chiSquareTail(x, 4) / ((1 + x / 2) * Math.exp(-x / 2)) - 1)).toBeLessThan(1e-12);
    expect(Math.abs(chiSquareTail(x, 1) / (2 * normalCdf(-Math.sqrt(x))) - 1)).toBeLessThan(1e-11);
  });

  test('inverts itself', () => {
    for (const dof of [1, 2.5, 10, 400]) {
      for (const p of [0.001, 0.05, 0.5, 0.95, 0.999]) {
        expect(chiSquareCdf(chiSquareQuantile(p, dof), dof)).toBeCloseTo(p, 11);
      }
    }
    expect(chiSquareQuantile(0, 3)).toBe(0);
    expect(chiSquareQuantile(1, 3)).toBe(Number.POSITIVE_INFINITY);
    expect(chiSquareQuantile(0.5, 0)).toBeNaN();
    expect(chiSquareQuantile(1.1, 3)).toBeNaN();
  });
});

test('has normal quantiles as JCGM 106:2012, 7.3 tabulates them (recomputed to 12 digits)', () => {
  for (const [p, z] of tolerance.normalQuantiles) expect(normalQuantile(p!)).toBeCloseTo(z!, 10);
});

describe('noncentral t', () => {
  test('is Student t without noncentrality', () => {
    for (const dof of [1, 4, 42, 500]) expect(noncentralTCdf(1.3, dof, 0)).toBeCloseTo(studentCdf(1.3, dof), 10);
  });

  test('has the quantile behind the e-Handbook example', () => {
    const root = Math.sqrt(43);
    expect(noncentralTQuantile(0.99, 42, normalQuantile(0.9) * root) / root).toBeCloseTo(tolerance.handbook.k1, 9);
  });

  test('has the mean that its definition gives: delta sqrt(dof/2) Gamma((dof-1)/2) / Gamma(dof/2), here in closed form for 5', () => {
    // E[T] by its distribution function: integral of P(T > t) - P(T < -t) over t > 0; the tail beyond falls as t^-dof
    const mean = (dof: number, delta: number): number => {
      const step = 0.1;
      let sum = 0;
      for (let t = step / 2; t < 60; t += step) {
        sum += (1 - noncentralTCdf(t, dof, delta) - noncentralTCdf(-t, dof, delta)) * step;
      }
      return sum;
    };
    // Gamma(2)/Gamma(5/2) = 4/(3 sqrt(pi))
    expect(mean(5, 1.5)).toBeCloseTo((1.5 * Math.sqrt(2.5) * 4) / (3 * Math.sqrt(Math.PI)), 4);
  });

  test('answers nonsense with NaN', () => {
    expect(noncentralTCdf(1, 0.5, 1)).toBeNaN();
    expect(noncentralTQuantile(0, 5, 1)).toBeNaN();
  });
});
