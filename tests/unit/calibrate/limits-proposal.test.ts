import { describe, expect, test } from 'vitest';
import { type GoodValue, proposeLimits, roundAway } from '../../../src/calibrate/limits/limits-proposal.ts';
import type { Limits } from '../../../src/measure/types.ts';
import { sampleShape } from '../../../src/statistics/sample-shape.ts';
import { oneSidedFactor } from '../../../src/statistics/tolerance-interval.ts';
import { normals } from '../../outside/seeded-normals.ts';

const promise = { coverage: 0.95, confidence: 0.95 };
const atMost: Limits = { quantity: 'resistance', max: 5 };
const good = (values: number[], u: number | null = null): GoodValue[] =>
  values.map((value, i) => ({ unit: `unit-${i}`, value, u, isOpen: false }));
const tenNormal = [0.93, 1.02, 0.98, 1.07, 1.0, 0.9, 1.11, 1.04, 0.96, 0.99];
const codes = (proposal: { reasons: { code: string }[] }) => proposal.reasons.map(({ code }) => code);

describe('proposals', () => {
  test('put the tolerance limit of the sample, rounded outwards, on the side of the current limit', () => {
    const proposal = proposeLimits('key', atMost, good(tenNormal), promise);
    const [linear] = proposal.fits;
    const exact = linear!.mean + oneSidedFactor(10, promise) * linear!.sd;
    expect(proposal).toMatchObject({ verdict: 'proposed', sides: 'upper', n: 10, outliers: [], moreUnits: 0 });
    expect(proposal.limits!.min).toBeUndefined();
    expect(proposal.limits!.max).toBeGreaterThanOrEqual(exact);
    expect(proposal.limits!.max! - 1).toBeLessThan((exact - 1) * 1.4);
  });

  test('say how many units are missing, and do not hide what few came to', () => {
    const few = proposeLimits('key', atMost, good(tenNormal.slice(0, 5)), promise);
    expect(few).toMatchObject({ verdict: 'doubtful', moreUnits: 3 });
    expect(few.limits).not.toBeNull();
    expect(codes(few)).toEqual(['units.few']);
    const one = proposeLimits('key', atMost, good([1]), promise);
    expect(one).toMatchObject({ verdict: 'none', limits: null, moreUnits: 7 });
    expect(proposeLimits('key', atMost, [], promise)).toMatchObject({ verdict: 'none', moreUnits: 8 });
  });

  test('name a unit that does not belong, leave it out, and are doubtful for it', () => {
    const proposal = proposeLimits('key', atMost, good([...tenNormal, 3.2]), promise);
    expect(proposal).toMatchObject({ verdict: 'doubtful', outliers: [{ unit: 'unit-10', value: 3.2 }], n: 10 });
    expect(codes(proposal)).toContain('unit.outlying');
    expect(proposal.limits!.max).toBeLessThan(2);
  });

  test('keep the limits where good units read open, and say what that shows', () => {
    const opens = good(new Array(59).fill(0)).map((value) => ({ ...value, isOpen: true }));
    const all = proposeLimits('gap', { quantity: 'resistance', min: 5e6 }, opens, promise);
    expect(all).toMatchObject({ verdict: 'none', limits: null, reasons: [{ code: 'reading.open', doubt: false }] });
    expect(all.reasons[0]!.text).toContain('at least 95 %');
    const some = proposeLimits('gap', { quantity: 'resistance', min: 5e6 }, [...opens, ...good([4e6])], promise);
    expect(some.reasons).toMatchObject([{ code: 'reading.open', doubt: true }]);
  });

  test('are none where values do not differ or have no shape', () => {
    expect(codes(proposeLimits('key', atMost, good(new Array(12).fill(1)), promise))).toEqual(['spread.none']);
    // two kinds of unit, far apart
    const two = good([...tenNormal, ...tenNormal.map((value) => value + 40)]);
    const proposal = proposeLimits('key', atMost, two, promise);
    expect(proposal).toMatchObject({ verdict: 'none', limits: null, moreUnits: 39 });
    expect(codes(proposal)).toEqual(['shape.none']);
  });

  test('rest on the extremes when there are enough units of no shape', () => {
    const draw = normals(5);
    const many = good(Array.from({ length: 60 }, (_, i) => (i % 2) * 40 + 10 + draw()));
    const proposal = proposeLimits('key', atMost, many, promise);
    expect(proposal).toMatchObject({ verdict: 'proposed', method: 'extremes' });
    expect(proposal.limits!.max).toBeGreaterThanOrEqual(Math.max(...many.map(({ value }) => value)));
  });

  test('leave out a lower limit at or below zero ohm, and never one of volts', () => {
    const wide = [...tenNormal.map((value) => 1 + (value - 1) * 5), -0.001];
    const both: Limits = { quantity: 'resistance', min: 0.1, max: 5 };
    const ohms = proposeLimits('key', both, good(wide), promise);
    expect(ohms.verdict).toBe('doubtful');
    expect(ohms.limits!.min).toBeUndefined();
    expect(codes(ohms)).toContain('limit.below-zero');
    const volts = proposeLimits(
      'idle',
      { quantity: 'voltage', min: -1, max: 1 },
      good(tenNormal.map((v) => v - 1)),
      promise,
    );
    expect(volts.limits!.min).toBeLessThan(0);
  });

  test('doubt limits that are nearer than the probe can tell', () => {
    expect(codes(proposeLimits('key', atMost, good(tenNormal, 0.2), promise))).toEqual(['probe.coarse']);
    const spread = proposeLimits('key', atMost, good(tenNormal, 0.05), promise);
    expect(spread).toMatchObject({ verdict: 'proposed', reasons: [{ code: 'probe.spread', doubt: false }] });
  });
});

describe('the scale', () => {
  test('is logarithmic where the linear one is rejected', () => {
    const draw = normals(3);
    const skewed = Array.from({ length: 40 }, () => Math.exp(draw()));
    expect(sampleShape(skewed).scales).toEqual(['log']);
    expect(sampleShape(skewed.map((value) => -value)).scales).not.toContain('log');
  });

  test('is both where few values let both stand', () => {
    expect(sampleShape(tenNormal).scales).toEqual(['linear', 'log']);
  });
});

test('rounds away from the middle, to the second digit of the distance', () => {
  expect(roundAway(0.5137, 0.3)).toBe(0.52);
  expect(roundAway(44523, 47000)).toBe(44500);
  expect(roundAway(0.52, 0.3)).toBe(0.52);
  expect(roundAway(1.81751, 1.8)).toBe(1.818);
  expect(roundAway(-0.0171, 0)).toBe(-0.018);
  expect(roundAway(2, 2)).toBe(2);
});
