// Wald's sequential test against his formulas, the exact integral equation, and simulation; sources in data/sprt.json.
import { describe, expect, test } from 'vitest';
import {
  fixedCharacteristic,
  pressesThatSuffice,
  sequentialCharacteristic,
} from '../../src/calibrate/limits/press-plans.ts';
import { sprtBad, sprtDecide, sprtLines, waldBounds } from '../../src/statistics/sprt.ts';
import { successRunLength, successRunShare } from '../../src/statistics/success-run.ts';
import data from './data/sprt.json' with { type: 'json' };
import { normals, uniforms } from './seeded-normals.ts';

test.each(data.thresholds)('has the bounds for risks $alpha and $beta', ({ lnA, lnB, ...risks }) => {
  expect(waldBounds(risks).logA).toBeCloseTo(lnA, 8);
  expect(waldBounds(risks).logB).toBeCloseTo(lnB, 8);
});

test('decides the two traces where they are decided', () => {
  const { alpha, beta, to_H0, to_H1 } = data.trace;
  const decided = (trace: number[]) => trace.map((ratio) => sprtDecide(ratio, { alpha, beta }));
  expect(decided(to_H1.llr)).toEqual([...new Array(6).fill('continue'), 'reject']);
  expect(decided(to_H0.llr)).toEqual([...new Array(4).fill('continue'), 'accept']);
});

describe('expected sample numbers by simulation, normal mean', () => {
  const runs = 6000;
  for (const [index, plan] of data.cases.slice(0, 2).entries()) {
    test.each(plan.rows)(`case ${index + 1}, mean %d`, (mu, _ocWald, asnWald, ocExact, asnExact) => {
      const draw = normals(1 + index);
      const { mu0, mu1, sigma } = plan;
      let accepted = 0;
      let taken = 0;
      let squares = 0;
      for (let i = 0; i < runs; i++) {
        let ratio = 0;
        let n = 0;
        let decision = sprtDecide(ratio, plan);
        while (decision === 'continue') {
          n++;
          ratio += ((mu1 - mu0) / sigma ** 2) * (mu! + sigma * draw() - (mu0 + mu1) / 2);
          decision = sprtDecide(ratio, plan);
        }
        if (decision === 'accept') accepted++;
        taken += n;
        squares += n * n;
      }
      const mean = taken / runs;
      const uMean = Math.sqrt((squares / runs - mean ** 2) / runs);
      expect(Math.abs(mean - asnExact!)).toBeLessThan(4 * uMean);
      expect(Math.abs(accepted / runs - ocExact!)).toBeLessThan(
        4 * Math.sqrt((ocExact! * (1 - ocExact!)) / runs) + 1 / runs,
      );
      // Wald's own formula leaves the overshoot out and is too small
      expect(mean).toBeGreaterThan(asnWald!);
    });
  }
});

describe('good and bad presses', () => {
  const { slope, h0, h1, ...plan } = data.bernoulli;

  test('has the lines of the Bernoulli case', () => {
    const lines = sprtLines(plan);
    expect(lines.slope).toBeCloseTo(slope, 11);
    expect(lines.accept).toBeCloseTo(h0, 11);
    expect(lines.reject).toBeCloseTo(h1, 11);
  });

  test('decides at those lines and nowhere before', () => {
    for (let n = 0; n <= 60; n++) {
      for (let bad = 0; bad <= n; bad++) {
        const wanted = bad >= h1 + slope * n ? 'reject' : bad <= h0 + slope * n ? 'accept' : 'continue';
        expect(sprtBad(n - bad, bad, plan)).toBe(wanted);
      }
    }
  });

  test('keeps its risks, and the exact characteristic is what a simulation finds', () => {
    const cap = 200;
    for (const p of [plan.p0, 0.17, plan.p1]) {
      const exact = sequentialCharacteristic(p, plan, cap);
      expect(exact.accept + exact.reject + exact.undecided).toBeCloseTo(1, 12);
      const next = uniforms(3);
      const runs = 8000;
      let accepted = 0;
      let taken = 0;
      for (let i = 0; i < runs; i++) {
        let [good, bad] = [0, 0];
        while (good + bad < cap && sprtBad(good, bad, plan) === 'continue') {
          if (next() < p) bad++;
          else good++;
        }
        taken += good + bad;
        if (sprtBad(good, bad, plan) === 'accept') accepted++;
      }
      expect(Math.abs(accepted / runs - exact.accept)).toBeLessThan(
        4 * Math.sqrt((exact.accept * (1 - exact.accept)) / runs),
      );
      expect(Math.abs(taken / runs / exact.presses - 1)).toBeLessThan(0.05);
    }
    // Wald 1947, 3.2: a / (1 - b) bounds the true risks
    expect(sequentialCharacteristic(plan.p0, plan, 1000).reject).toBeLessThan(plan.alpha / (1 - plan.beta));
    expect(sequentialCharacteristic(plan.p1, plan, 1000).accept).toBeLessThan(plan.beta / (1 - plan.alpha));
  });

  test('a plan that makes no sense decides nothing', () => {
    expect(sprtBad(1000, 0, { ...plan, p0: 0.4 })).toBe('continue');
    expect(sprtBad(0, 1000, { ...plan, alpha: 0 })).toBe('continue');
    expect(sequentialCharacteristic(0.1, { ...plan, alpha: 0.6, beta: 0.6 }, 10).accept).toBeNaN();
  });

  test('says how many presses suffice', () => {
    const n = pressesThatSuffice(0.17, plan, 0.01, 500);
    expect(sequentialCharacteristic(0.17, plan, n).undecided).toBeLessThanOrEqual(0.01);
    expect(sequentialCharacteristic(0.17, plan, n - 1).undecided).toBeGreaterThan(0.01);
  });
});

describe('fixed runs', () => {
  test('accept as the binomial distribution says: 2 of 10 at 0.1 is 0.9298 (any binomial table)', () => {
    expect(fixedCharacteristic(0.1, 10, 2).accept).toBeCloseTo(0.9298091736, 9);
    expect(fixedCharacteristic(0.05, 59, 0).accept).toBeCloseTo(0.95 ** 59, 12);
    expect(fixedCharacteristic(0, 20, 0)).toMatchObject({ accept: 1, reject: 0, presses: 20 });
    expect(fixedCharacteristic(1, 20, 0)).toMatchObject({ accept: 0, reject: 1, presses: 20 });
  });

  // success-run rule: 59 for 95 % with 95 %, 299 for 99 % with 95 %, 22 for 90 % with 90 % (standard tables of reliability demonstration)
  test.each([
    [0.95, 0.95, 59],
    [0.99, 0.95, 299],
    [0.9, 0.9, 22],
    [0.9, 0.95, 29],
  ])('success run: %d with %d takes %i', (coverage, confidence, n) => {
    expect(successRunLength(coverage, confidence)).toBe(n);
    expect(successRunShare(n, confidence)).toBeGreaterThanOrEqual(coverage);
    expect(successRunShare(n - 1, confidence)).toBeLessThan(coverage);
  });
});
