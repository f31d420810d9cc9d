import { describe, expect, test } from 'vitest';
import { SteadyWindow } from '../../src/measure/contact/steady-window.ts';
import { autocorrelation, madScale, median, medianAbsoluteDeviation, robustMean } from '../../src/statistics/robust.ts';
import data from './data/robust.json' with { type: 'json' };

test('scales by 1 / Phi^-1(3/4)', () => {
  expect(madScale).toBe(data.scale);
});

describe('median absolute deviation (Leys et al. 2013)', () => {
  test.each(data.cases)('of $x', ({ x, median: middle, mad }) => {
    expect(median(x)).toBeCloseTo(middle, 12);
    expect(medianAbsoluteDeviation(x)).toBeCloseTo(mad, 12);
  });

  test('leaves out the outliers and keeps the rest', () => {
    const [first, second, third] = data.cases;
    expect(robustMean(first!.x, 0, 3).dropped).toBe(first!.outliers!.length);
    expect(robustMean(second!.x, 0, 3).kept).not.toContain(second!.outliers_k3![0]);
    expect(robustMean(second!.x, 0, 2.5).dropped).toBe(second!.outliers_k2_5!.length);
    expect(robustMean(third!.x, 0, 3).kept).toEqual(third!.x.filter((value) => !third!.outliers_k3!.includes(value)));
  });

  test('is the same in the running window, for an odd number of whole codes', () => {
    const x = data.cases[1]!.x;
    const window = new SteadyWindow(x.length);
    for (const code of [77, 78, ...x]) window.push(code);
    expect(window.median).toBe(data.cases[1]!.median);
    expect(window.spread).toBeCloseTo(data.cases[1]!.mad * madScale, 12);
  });
});

describe('lag-1 autocorrelation, NIST StRD', () => {
  test.each(data.autocorrelation.sets)('of $id', ({ y, r1 }) => {
    expect(autocorrelation(y, 1)).toBeCloseTo(r1, 9);
  });
});
