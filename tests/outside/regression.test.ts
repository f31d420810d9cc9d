import { describe, expect, test } from 'vitest';
import { fitRange } from '../../src/calibrate/fit/fit-range.ts';
import type { CalPoint } from '../../src/calibrate/points/cal-point.ts';
import { fitLeastSquares, type LeastSquares } from '../../src/statistics/least-squares.ts';
import gum from './data/gum-h3.json' with { type: 'json' };
import strd from './data/strd-regression.json' with { type: 'json' };

/** Fits y to a linear model with given columns. */
function linear(columns: number[][], y: number[]): LeastSquares {
  const solved = fitLeastSquares({
    start: columns[0]!.map(() => 0),
    at: (b) => ({
      residuals: columns.map((row, i) => y[i]! - row.reduce((sum, value, j) => sum + value * b[j]!, 0)),
      jacobian: columns,
    }),
  });
  if (!solved.ok) throw new Error(solved.why);
  return solved;
}

/** Residual standard deviation, and from it the standard deviation of each parameter. */
function deviations({ sumOfSquares, covariance, residuals, parameters }: LeastSquares) {
  const s = Math.sqrt(sumOfSquares / (residuals.length - parameters.length));
  return { s, sd: covariance.map((row, i) => s * Math.sqrt(row[i]!)) };
}

function expectRelative(found: number, wanted: number, relative: number): void {
  expect(Math.abs(found / wanted - 1), `${found} beside ${wanted}`).toBeLessThan(relative);
}

/** Certified values have 11 digits. */
const certifiedDigits = 2e-9;

describe('certified nonlinear sets, NIST/ITL StRD', () => {
  const { misra1d, rat42 } = strd;

  test.each(misra1d.starts)('Misra1d from %d, %d', (...start) => {
    const solved = fitLeastSquares({
      start,
      at: ([b1, b2]) => ({
        residuals: misra1d.x.map((x, i) => misra1d.y[i]! - (b1! * b2! * x) / (1 + b2! * x)),
        jacobian: misra1d.x.map((x) => [(b2! * x) / (1 + b2! * x), (b1! * x) / (1 + b2! * x) ** 2]),
      }),
    });
    if (!solved.ok) throw new Error(solved.why);
    expectRelative(solved.parameters[0]!, misra1d.certified.b[0]!, certifiedDigits);
    expectRelative(solved.parameters[1]!, misra1d.certified.b[1]!, certifiedDigits);
    const { s, sd } = deviations(solved);
    expectRelative(s, misra1d.certified.residualSd, certifiedDigits);
    expectRelative(sd[0]!, misra1d.certified.sd[0]!, certifiedDigits);
    expectRelative(sd[1]!, misra1d.certified.sd[1]!, certifiedDigits);
    expectRelative(solved.sumOfSquares, misra1d.certified.residualSumOfSquares, certifiedDigits);
  });

  test.each(rat42.starts)('Rat42 from %d, %d, %d', (...start) => {
    const solved = fitLeastSquares({
      start,
      at: ([b1, b2, b3]) => {
        const e = rat42.x.map((x) => Math.exp(b2! - b3! * x));
        return {
          residuals: e.map((value, i) => rat42.y[i]! - b1! / (1 + value)),
          jacobian: e.map((value, i) => {
            const down = (b1! * value) / (1 + value) ** 2;
            return [1 / (1 + value), -down, down * rat42.x[i]!];
          }),
        };
      },
    });
    if (!solved.ok) throw new Error(solved.why);
    const { s, sd } = deviations(solved);
    for (const [i, b] of rat42.certified.b.entries()) {
      expectRelative(solved.parameters[i]!, b, certifiedDigits);
      expectRelative(sd[i]!, rat42.certified.sd[i]!, certifiedDigits);
    }
    expectRelative(s, rat42.certified.residualSd, certifiedDigits);
  });

  test('Misra1d through the fit of a range: nOff + (nOpen - nOff) R / (R + rs) with nOff = 0 is b1 b2 x / (1 + b2 x) with nOpen = b1, rs = 1 / b2', () => {
    const { certified } = misra1d;
    const points = misra1d.x.map(
      (x, i): CalPoint => ({
        range: 1,
        level: 'normal',
        standard: { kind: 'resistor', ohm: x, uOhm: 0, uCommonRel: 0 },
        // larger numbers, so that no code looks like a clipped one; the model is linear in them
        code: misra1d.y[i]! * 10,
        uCode: certified.residualSd * 10,
        n: 1,
      }),
    );
    const result = fitRange(points, {
      leadOhm: 0,
      uTouchOhm: 0,
      uLinearityCode: 0,
      // an offset known to be 0, and nothing known of the rest
      prior: { range: 1, level: 'normal', nOff: 0, nOpen: 4000, rsOhm: 3000, cov: [1e-20, 0, 0, 1e24, 0, 1e24] },
    });
    if (!result.ok) throw new Error(result.problem.text);
    const { fit } = result;
    const [b1, b2] = certified.b as [number, number];
    expectRelative(fit.nOpen, 10 * b1, certifiedDigits);
    expectRelative(1 / fit.rsOhm, b2, certifiedDigits);
    expectRelative(fit.uOpen, 10 * certified.sd[0]!, certifiedDigits);
    // u(1/rs) = u(rs) / rs^2
    expectRelative(fit.uRsOhm / fit.rsOhm ** 2, certified.sd[1]!, certifiedDigits);
    expectRelative(fit.chiSquare, certified.dof, certifiedDigits);
    expect(fit.outliers).toEqual([]);
  });
});

describe('certified linear sets, NIST/ITL StRD', () => {
  test('Norris', () => {
    const { x, y, certified } = strd.norris;
    const solved = linear(
      x.map((value) => [1, value]),
      y,
    );
    const { s, sd } = deviations(solved);
    expectRelative(solved.parameters[0]!, certified.B0, 1e-10);
    expectRelative(solved.parameters[1]!, certified.B1, 1e-12);
    expectRelative(sd[0]!, certified.sd_B0, 1e-10);
    expectRelative(sd[1]!, certified.sd_B1, 1e-10);
    expectRelative(s, certified.residual_sd, 1e-10);
    expectRelative(solved.covariance[0]![1]! * s * s, strd.norris.recomputed_cov_B0_B1, 1e-10);
  });

  test('Longley, whose columns nearly depend on one another: normal equations would lose half the digits', () => {
    const { x, y, B, sd: certifiedSd, residual_sd } = strd.longley;
    const solved = linear(
      x.map((row) => [1, ...row]),
      y,
    );
    const { s, sd } = deviations(solved);
    for (const [i, b] of B.entries()) {
      expectRelative(solved.parameters[i]!, b, 1e-8);
      expectRelative(sd[i]!, certifiedSd[i]!, 1e-8);
    }
    expectRelative(s, residual_sd, 1e-9);
  });

  test.each([
    ['Wampler1', 1, strd.wampler.Wampler1.B],
    ['Wampler2', 10, strd.wampler.Wampler2.B],
  ] as const)('%s: a polynomial of degree 5 that is met exactly', (_name, unit, b) => {
    const columns = Array.from({ length: 21 }, (_, x) => [0, 1, 2, 3, 4, 5].map((power) => x ** power));
    const y = columns.map((row) => row.reduce((sum, value, power) => sum + value / unit ** power, 0));
    const solved = linear(columns, y);
    for (const [i, certified] of b.entries()) expectRelative(solved.parameters[i]!, certified, 1e-7);
  });
});

describe('linear calibration of a thermometer, JCGM 100:2008, H.3', () => {
  const at = (t0: number) =>
    linear(
      gum.t_C.map((t) => [1, t - t0]),
      gum.b_C,
    );

  test('has the published line, uncertainties and correlation', () => {
    const solved = at(gum.t0_C);
    const { s, sd } = deviations(solved);
    const full = gum.full_precision;
    expectRelative(solved.parameters[0]!, full.y1, 1e-11);
    expectRelative(solved.parameters[1]!, full.y2, 1e-11);
    expectRelative(sd[0]!, full.u_y1, 1e-10);
    expectRelative(sd[1]!, full.u_y2, 1e-10);
    expectRelative(s, full.s, 1e-10);
    const r = solved.covariance[0]![1]! / Math.sqrt(solved.covariance[0]![0]! * solved.covariance[1]![1]!);
    expectRelative(r, full.r_y1_y2, 1e-10);
    expect(solved.parameters[0]).toBeCloseTo(gum.published.y1, 4);
    expect(sd[0]).toBeCloseTo(gum.published.u_y1, 4);
  });

  test('predicts the correction at 30 C with the covariance, whatever the origin', () => {
    for (const t0 of [gum.t0_C, 0, 24.008]) {
      const { parameters, covariance, ...rest } = at(t0);
      const { s } = deviations({ parameters, covariance, ...rest });
      const row = [1, 30 - t0];
      const variance = row.reduce(
        (sum, a, i) => sum + row.reduce((part, b, j) => part + a * b * covariance[i]![j]!, 0),
        0,
      );
      expectRelative(parameters[0]! + parameters[1]! * row[1]!, gum.full_precision.b_at_30C, 1e-9);
      expectRelative(s * Math.sqrt(variance), gum.full_precision.u_b_at_30C, 1e-9);
    }
  });
});
