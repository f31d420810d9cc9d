import { describe, expect, test } from 'vitest';
import { uCalibrationOhm } from '../../../src/calibrate/fit/calibration-uncertainty.ts';
import { fitRange } from '../../../src/calibrate/fit/fit-range.ts';
import { nextStandard } from '../../../src/calibrate/fit/next-standard.ts';
import { spreadOver, workingSpanOhm } from '../../../src/calibrate/fit/working-span.ts';
import type { CalPoint, Standard } from '../../../src/calibrate/points/cal-point.ts';
import { codeOfOhm } from '../../../src/measure/reading/calibration.ts';
import { exactPoints, leadOhm, nominalOf, resistor, withPoint } from './made-points.ts';

const only = { ranges: [{ range: 2, level: 'normal' as const }] };
const truth = nominalOf(2);

function pointAt(standard: Standard): CalPoint {
  const ohm = standard.kind === 'resistor' ? standard.ohm : standard.kind === 'short' ? 0 : Number.POSITIVE_INFINITY;
  return { range: 2, level: 'normal', standard, code: codeOfOhm(ohm + leadOhm, truth), uCode: 1, n: 28 };
}

/** Mean square of the relative uncertainty over the range's span, by a fit. */
function meanSquare(points: readonly CalPoint[]): number {
  const result = fitRange(points);
  if (!result.ok) throw new Error(result.problem.text);
  const { fit } = result;
  const ohms = spreadOver(workingSpanOhm(2, 'normal')!, 9);
  return ohms.reduce((sum, ohm) => sum + (uCalibrationOhm(ohm, fit) / (0.001 * ohm + 0.001)) ** 2, 0);
}

describe('the standard to present next', () => {
  const begun = exactPoints(truth, [1000]);
  const left = [220, 470, 2200, 4700, 6800].map(resistor);

  test('is the one that indeed lowers the uncertainty most', () => {
    // enough points that the parts' tolerances, which the advice starts from and a fit does not, no longer count
    const more = exactPoints(truth, [150, 1000, 5600]);
    const after = left.map((standard) => meanSquare([...more, pointAt(standard)]));
    const best = left[after.indexOf(Math.min(...after))];
    const [first, ...others] = nextStandard(more, left, only);
    expect(first!.standard).toEqual(best);
    expect(others).toHaveLength(left.length - 1);
  });

  test('each of them helps, and what helps less comes later', () => {
    const gains = nextStandard(begun, left, only).map(({ gain }) => gain);
    expect(gains).toHaveLength(left.length);
    expect(gains.every((gain) => gain > 1)).toBe(true);
    expect([...gains].sort((a, b) => b - a)).toEqual(gains);
  });

  test('presenting what it says brings the gain down, until nothing is worth a touch', () => {
    const points: CalPoint[] = [];
    const gains: number[] = [];
    for (let i = 0; i < 12; i++) {
      const next = nextStandard(points, null, only)[0]!;
      gains.push(next.gain);
      points.push(pointAt(next.standard));
    }
    expect(gains[0]).toBeGreaterThan(3);
    expect(gains.at(-1)).toBeLessThan(1.05);
    const result = fitRange(points);
    expect(result.ok && result.fit.verdict).toBe('good');
  });

  test('a second touch on the same resistor gains little: its own error stays', () => {
    const again = nextStandard(begun, [resistor(1000)], only)[0]!;
    expect(again.gain).toBeLessThan(1.01);
  });

  test('a point that does not belong counts as not there', () => {
    const whole = exactPoints(truth);
    const broken = withPoint(whole, 4, { code: whole[4]!.code * 1.2 });
    expect(nextStandard(broken, [resistor(1000)], only)[0]!.gain).toBeGreaterThan(1.03);
    expect(nextStandard(whole, [resistor(1000)], only)[0]!.gain).toBeLessThan(1.01);
  });

  test('offers nothing that the range cannot read', () => {
    const values = nextStandard(
      [],
      [resistor(0.1), resistor(1e6), resistor(1000), { kind: 'volt', volt: 1, uVolt: 0 }],
      only,
    );
    expect(values.map(({ standard }) => standard)).toEqual([resistor(1000)]);
    expect(nextStandard([], [{ kind: 'open' }], { ranges: [{ range: 0, level: 'normal' }] })).toEqual([]);
    expect(nextStandard([], null, { ranges: [{ range: 0, level: 'dry' }] })).toEqual([]);
  });

  test('looks at all ranges and both levels when none is named', () => {
    const named = new Set(nextStandard([]).map(({ range, level }) => `${range} ${level}`));
    expect(named.size).toBe(9);
  });
});
