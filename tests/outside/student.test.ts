import { describe, expect, test } from 'vitest';
import { effectiveDof } from '../../src/measure/reading/read-window.ts';
import {
  coverageFactor,
  manyDof,
  normalCdf,
  studentCdf,
  studentQuantile,
} from '../../src/statistics/distributions/distribution.ts';
import data from './data/student-t.json' with { type: 'json' };

describe('JCGM 100:2008, Table G.2', () => {
  test.each(data.rows)('has coverage factors for %i degrees of freedom', (dof, ...factors) => {
    data.columns_p.forEach((p, column) => {
      const expected = factors[column]!;
      // printed with 9 digits: half a unit of the last
      expect(Math.abs(coverageFactor(p, dof!) / expected - 1)).toBeLessThan(1e-8);
      expect(2 * studentCdf(expected, dof!) - 1).toBeCloseTo(p, 8);
    });
  });

  test.each(data.publishedTwoDecimals.rows)('rounds to the printed row of %i degrees of freedom', (dof, ...printed) => {
    data.columns_p.forEach((p, column) => {
      expect(Math.abs(coverageFactor(p, dof!) - printed[column]!)).toBeLessThanOrEqual(0.005 + 1e-9);
    });
  });

  test('ends in the normal distribution', () => {
    expect(coverageFactor(0.95, manyDof)).toBeCloseTo(1.959963984540054, 9);
    expect(studentCdf(1.959963984540054, manyDof - 1)).toBeCloseTo(normalCdf(1.959963984540054), 6);
  });
});

describe('closed forms', () => {
  // dof 1 is the Cauchy distribution, 1/2 + atan(t)/pi; dof 2 is 1/2 + t / (2 sqrt(2 + t^2)) (any textbook)
  test.each([-1e6, -30, -1, -1e-3, 0, 0.5, 2, 40, 1e5])('holds at t = %d', (t) => {
    const cauchy = t < 0 ? Math.atan(1 / -t) / Math.PI : 1 - Math.atan(1 / t) / Math.PI;
    const expected = t === 0 ? 0.5 : cauchy;
    expect(Math.abs(studentCdf(t, 1) / expected - 1)).toBeLessThan(1e-12);
    const two = 0.5 + t / (2 * Math.sqrt(2 + t * t));
    expect(studentCdf(t, 2)).toBeCloseTo(two, 12);
  });
});

describe('JCGM 100:2008, H.1 (end gauge)', () => {
  const { components, result } = data.gumH1;

  test('has the combined uncertainty and the effective degrees of freedom', () => {
    const parts = components.map(({ u_nm, nu }) => ({ u: u_nm, dof: nu }));
    const u = Math.hypot(...parts.map((part) => part.u));
    // two of the components are rounded to five digits
    expect(Math.abs(u - result.u_c_nm)).toBeLessThan(5e-5);
    expect(Math.abs(effectiveDof(u, parts) - result.nu_eff)).toBeLessThan(1e-3);
    expect(Math.abs(effectiveDof(u, parts) - result.nu_eff_published)).toBeLessThan(0.1);
  });

  test('has the expanded uncertainty with the degrees of freedom cut to a whole number', () => {
    expect(coverageFactor(0.99, result.nu_eff_truncated)).toBeCloseTo(result.t99_16, 9);
    expect(Math.round(coverageFactor(0.99, result.nu_eff_truncated) * result.u_c_published)).toBe(result.U99_published);
  });

  test('does not count what is well known', () => {
    expect(
      effectiveDof(5, [
        { u: 3, dof: 4 },
        { u: 4, dof: Number.POSITIVE_INFINITY },
      ]),
    ).toBeCloseTo((625 / 81) * 4, 12);
  });
});

test('answers nonsense with NaN', () => {
  expect(studentCdf(1, 0)).toBeNaN();
  expect(studentCdf(1, Number.NaN)).toBeNaN();
  expect(studentCdf(Number.NaN, 5)).toBeNaN();
  expect(studentQuantile(1.5, 5)).toBeNaN();
  expect(studentQuantile(0.5, 5)).toBe(0);
  expect(studentQuantile(0, 5)).toBe(Number.NEGATIVE_INFINITY);
  expect(studentQuantile(1, 5)).toBe(Number.POSITIVE_INFINITY);
});
