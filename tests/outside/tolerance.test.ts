// Tolerance factors against the handbook's worked example and factor tables; sources in data/tolerance-factors.json.
import { describe, expect, test } from 'vitest';
import {
  limitingFactor,
  oneSidedFactor,
  twoSidedFactor,
  unitsNeededForExtremes,
} from '../../src/statistics/tolerance-interval.ts';
import data from './data/tolerance-factors.json' with { type: 'json' };

describe('NIST/SEMATECH e-Handbook 7.2.6.3 (silicon wafers)', () => {
  const { n, mean, s, twoSided, upper, ...printed } = data.handbook;

  test('has the two-sided factor as printed, and its limits', () => {
    const k = twoSidedFactor(n, data.handbook);
    expect(k).toBeCloseTo(printed.k2Published, 4);
    expect(k).toBeCloseTo(printed.k2Howe, 10);
    expect(mean - k * s).toBeCloseTo(twoSided[0]!, 9);
    expect(mean + k * s).toBeCloseTo(twoSided[1]!, 9);
  });

  test('has the one-sided factor: exact, a little below the closed approximation that the page prints', () => {
    const k = oneSidedFactor(n, data.handbook);
    expect(k).toBeCloseTo(printed.k1, 9);
    expect(mean + k * s).toBeCloseTo(upper, 9);
    expect(Math.abs(k / printed.k1ApproximationPublished - 1)).toBeLessThan(1e-3);
  });
});

test('has the factors of a second published case', () => {
  const { n, k1Published, k2Howe } = data.teachingPage;
  expect(oneSidedFactor(n, data.teachingPage)).toBeCloseTo(k1Published, 4);
  expect(twoSidedFactor(n, data.teachingPage)).toBeCloseTo(k2Howe, 9);
});

describe('factors at 95 % confidence', () => {
  test.each(data.confidence95.rows)('n = %d, coverage %d', (n, coverage, one, two) => {
    const promise = { coverage: coverage!, confidence: 0.95 };
    expect(Math.abs(oneSidedFactor(n!, promise) - one!)).toBeLessThan(1e-6);
    // Howe's is an approximation: see how far from the exact factor
    expect(Math.abs(twoSidedFactor(n!, promise) / two! - 1)).toBeLessThan(0.02);
  });

  test.each(data.howe95.rows)("Howe's factor, n = %d, coverage %d", (n, coverage, k) => {
    expect(Math.abs(twoSidedFactor(n!, { coverage: coverage!, confidence: 0.95 }) - k!)).toBeLessThanOrEqual(6e-6);
  });

  test.each(data.textbookTwoSided)('printed to two decimals, n = %d', (n, printed) => {
    [0.9, 0.95, 0.99].forEach((coverage, i) => {
      const k = twoSidedFactor(n as number, { coverage, confidence: 0.95 });
      expect(Math.abs(k - (printed as number[])[i]!)).toBeLessThan(0.03);
    });
  });
});

test.each(data.extremes)('extremes cover whatever the distribution: $sides, $coverage', ({ sides, n, ...promise }) => {
  expect(unitsNeededForExtremes(sides as 'upper' | 'both', promise)).toBe(n);
});

test('comes down to the normal quantile, and is endless for a single unit', () => {
  const promise = { coverage: 0.95, confidence: 0.95 };
  expect(Math.abs(oneSidedFactor(200_000, promise) - limitingFactor('upper', promise))).toBeLessThan(0.01);
  expect(oneSidedFactor(1, promise)).toBe(Number.POSITIVE_INFINITY);
  expect(twoSidedFactor(1, promise)).toBe(Number.POSITIVE_INFINITY);
});
