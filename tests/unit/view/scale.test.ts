import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import type { Limits } from '../../../src/measure/types.ts';
import { needleAt, openScale, scaleFor } from '../../../src/view/readings/scale.ts';
import { traceColumns } from '../../../src/view/readings/trace.ts';

const bound = fc.double({ min: 1e-3, max: 1e7, noNaN: true });
const limits: fc.Arbitrary<Limits> = fc
  .record({
    quantity: fc.constantFrom('resistance' as const, 'voltage' as const),
    low: bound,
    high: bound,
    which: fc.constantFrom('min', 'max', 'both'),
  })
  .map(({ quantity, low, high, which }) => {
    const [min, max] = low <= high ? [low, high] : [high, low];
    return { quantity, ...(which === 'max' ? {} : { min }), ...(which === 'min' ? {} : { max }) };
  });

describe('a scale', () => {
  test('is logarithmic where the limits span decades, else linear', () => {
    expect(scaleFor({ quantity: 'resistance', min: 40e3, max: 60e3 }).log).toBe(false);
    expect(scaleFor({ quantity: 'resistance', max: 0.6 }).log).toBe(false);
    expect(scaleFor({ quantity: 'resistance', min: 10, max: 10e3 }).log).toBe(true);
    expect(scaleFor({ quantity: 'resistance', min: 5e6 }).log).toBe(true);
    expect(scaleFor({ quantity: 'voltage', min: 0.1, max: 5 }).log).toBe(false);
  });

  test('shows its limits where the needle stands for them, and room beyond each', () => {
    fc.assert(
      fc.property(limits, (one) => {
        const scale = scaleFor(one);
        expect(scale.to).toBeGreaterThan(scale.from);
        if (one.min !== undefined) expect(needleAt(scale, one.min).at).toBeCloseTo(scale.band?.from ?? -1, 6);
        if (one.max !== undefined) expect(needleAt(scale, one.max).at).toBeCloseTo(scale.band?.to ?? -1, 6);
        expect(needleAt(scale, Number.POSITIVE_INFINITY)).toEqual({ at: 1, off: 'high' });
        for (const tick of scale.ticks) expect(tick.at).toBeGreaterThanOrEqual(-1e-9);
        for (const tick of scale.ticks) expect(tick.at).toBeLessThanOrEqual(1 + 1e-9);
      }),
    );
  });

  test('moves the needle to the right when the value rises', () => {
    fc.assert(
      fc.property(limits, bound, bound, (one, a, b) => {
        const scale = scaleFor(one);
        expect(needleAt(scale, Math.min(a, b)).at).toBeLessThanOrEqual(needleAt(scale, Math.max(a, b)).at);
      }),
    );
  });

  test('has a place for tips held together, which may read a little below zero', () => {
    const { at, off } = needleAt(scaleFor({ quantity: 'resistance', min: -0.15, max: 0.15 }), -0.01);
    expect(off).toBeNull();
    expect(at).toBeGreaterThan(0.4);
  });

  test('of a meter without limits has no band', () => {
    expect(openScale('voltage')).toMatchObject({ log: false, band: null });
    expect(needleAt(openScale('resistance'), 0)).toEqual({ at: 0, off: 'low' });
  });
});

describe('columns of a trace', () => {
  test('keep every peak, however many points share a column', () => {
    const point = fc.record({
      x: fc.double({ min: 0, max: 1, noNaN: true }),
      y: fc.option(fc.double({ min: 0, max: 1, noNaN: true })),
    });
    fc.assert(
      fc.property(fc.array(point, { maxLength: 300 }), fc.integer({ min: 1, max: 80 }), (points, count) => {
        const columns = traceColumns(points, count);
        expect(columns).toHaveLength(count);
        const heights = points.flatMap(({ y }) => (y === null ? [] : [y]));
        const seen = columns.flatMap((column) => (column === null ? [] : [column.low, column.high]));
        expect(seen.length === 0).toBe(heights.length === 0);
        if (heights.length === 0) return;
        expect(Math.max(...seen)).toBe(Math.max(...heights));
        expect(Math.min(...seen)).toBe(Math.min(...heights));
      }),
    );
  });
});
