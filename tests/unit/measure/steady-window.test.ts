import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { SteadyWindow } from '../../../src/measure/contact/steady-window.ts';
import { madScale, medianAbsoluteDeviation } from '../../../src/statistics/robust.ts';

const codes = fc.array(fc.integer({ min: 0, max: 16_368 }), { minLength: 1, maxLength: 120 });

/** Least-squares slope by its definition, times the distance from first to last. */
function changeOf(values: readonly number[]): number {
  const n = values.length;
  if (n < 2) return 0;
  const meanX = (n - 1) / 2;
  const meanY = values.reduce((a, b) => a + b, 0) / n;
  let xy = 0;
  let xx = 0;
  values.forEach((value, x) => {
    xy += (x - meanX) * (value - meanY);
    xx += (x - meanX) ** 2;
  });
  return (xy / xx) * (n - 1);
}

describe('running window', () => {
  test('has the same figures as the codes it holds, at each step', () => {
    fc.assert(
      fc.property(codes, fc.integer({ min: 1, max: 31 }), (stream, capacity) => {
        const window = new SteadyWindow(capacity);
        stream.forEach((code, i) => {
          window.push(code);
          const held = stream.slice(Math.max(0, i + 1 - capacity), i + 1);
          const sorted = [...held].sort((a, b) => a - b);
          expect(window.codes()).toEqual(held);
          expect(window.median).toBe(sorted[sorted.length >> 1]);
          expect(window.lowest).toBe(sorted[0]);
          expect(window.highest).toBe(sorted.at(-1));
          expect(window.change).toBeCloseTo(changeOf(held), 6);
          if (held.length % 2 === 1) expect(window.spread).toBeCloseTo(madScale * medianAbsoluteDeviation(held), 9);
        });
      }),
      { numRuns: 60 },
    );
  });

  test('is empty after clear, and then holds only what comes', () => {
    const window = new SteadyWindow(3);
    for (const code of [5, 6, 7, 8]) window.push(code);
    window.clear();
    expect(window.codes()).toEqual([]);
    expect(window.median).toBeNaN();
    expect(window.spread).toBeNaN();
    expect(window.change).toBe(0);
    window.push(9);
    expect(window.codes()).toEqual([9]);
    expect(window.full).toBe(false);
  });
});
