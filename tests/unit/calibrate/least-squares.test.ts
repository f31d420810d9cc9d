import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { covarianceOf, fitLeastSquares } from '../../../src/statistics/least-squares.ts';

/** y = a exp(b x) through exact points, from a start that is far off. */
function exponential(a: number, b: number, start: number[]) {
  const xs = [0, 0.5, 1, 1.5, 2, 3];
  const y = xs.map((x) => a * Math.exp(b * x));
  return fitLeastSquares({
    start,
    at: ([p, q]) => ({
      residuals: xs.map((x, i) => y[i]! - p! * Math.exp(q! * x)),
      jacobian: xs.map((x) => [Math.exp(q! * x), p! * x * Math.exp(q! * x)]),
    }),
  });
}

describe('least squares', () => {
  test('finds the parameters of exact points from afar', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 0.5, max: 5, noNaN: true }),
        fc.double({ min: -1, max: 0.5, noNaN: true }),
        (a, b) => {
          const found = exponential(a, b, [1, 0]);
          if (!found.ok) throw new Error(found.why);
          expect(found.parameters[0]! / a).toBeCloseTo(1, 7);
          expect(found.parameters[1]!).toBeCloseTo(b, 7);
        },
      ),
    );
  });

  test('has the covariance of a weighted mean: 1 / sum of 1 / u^2', () => {
    const sizes = [0.5, 1, 2];
    const found = fitLeastSquares({
      start: [0],
      at: ([m]) => ({
        residuals: [3, 4, 5].map((value, i) => (value - m!) / sizes[i]!),
        jacobian: sizes.map((size) => [1 / size]),
      }),
    });
    if (!found.ok) throw new Error(found.why);
    const weights = sizes.map((size) => 1 / size ** 2);
    const sum = weights.reduce((a, b) => a + b, 0);
    expect(found.parameters[0]).toBeCloseTo((3 * weights[0]! + 4 * weights[1]! + 5 * weights[2]!) / sum, 12);
    expect(found.covariance[0]![0]).toBeCloseTo(1 / sum, 12);
  });

  test.each([
    ['too-few', [1], [[1, 1]]],
    [
      'undetermined',
      [1, 2, 3],
      [
        [1, 2],
        [2, 4],
        [3, 6],
      ],
    ],
    [
      'undetermined',
      [1, 2, 3],
      [
        [1, 0],
        [2, 0],
        [3, 0],
      ],
    ],
    [
      'no-convergence',
      [Number.NaN, 1, 2],
      [
        [1, 0],
        [0, 1],
        [1, 1],
      ],
    ],
  ])('says %s', (why, residuals, columns) => {
    const jacobian: number[][] = columns;
    const found = fitLeastSquares({
      start: [0, 0],
      at: ([a, b]) => ({
        residuals: residuals.map((y, i) => y - jacobian[i]![0]! * a! - jacobian[i]![1]! * b!),
        jacobian,
      }),
    });
    expect(found.ok ? null : found.why).toBe(why);
  });

  test('has no covariance where columns depend on one another', () => {
    expect(
      covarianceOf([
        [1, 2],
        [2, 4],
        [3, 6],
      ]),
    ).toBeNull();
  });

  test('stands columns of very different size', () => {
    const covariance = covarianceOf([
      [1e12, 0],
      [1e12, 1e-9],
      [0, 1e-9],
    ])!;
    // (J^T J)^-1 of [[2, 1], [1, 2]] is [[2, -1], [-1, 2]] / 3, scaled
    expect(covariance[0]![0]! * 1e24).toBeCloseTo(2 / 3, 9);
    expect(covariance[0]![1]! * 1e3).toBeCloseTo(-1 / 3, 9);
    expect(covariance[1]![1]! * 1e-18).toBeCloseTo(2 / 3, 9);
  });
});
