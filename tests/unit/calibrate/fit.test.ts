import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { randomOf } from '../../../sim/random.ts';
import { fitRange } from '../../../src/calibrate/fit/fit-range.ts';
import type { FitOptions, RangeFit } from '../../../src/calibrate/fit/fit-types.ts';
import { codeWithPartials } from '../../../src/calibrate/fit/range-curve.ts';
import type { CalPoint } from '../../../src/calibrate/points/cal-point.ts';
import { nominalCalibration } from '../../../src/measure/reading/nominal.ts';
import { exactPoints, noisyPoints, nominalOf, resistor, withPoint } from './made-points.ts';

function fitted(points: readonly CalPoint[], options?: FitOptions): RangeFit {
  const result = fitRange(points, options);
  if (!result.ok) throw new Error(result.problem.text);
  return result.fit;
}

describe('a fit of exact points', () => {
  test.each(nominalCalibration.ranges)('gives the parameters back: range $range $level', (nominal) => {
    const truth = { ...nominal, nOff: nominal.nOff + 3, nOpen: nominal.nOpen * 1.001, rsOhm: nominal.rsOhm * 0.998 };
    const fit = fitted(exactPoints(truth));
    expect(fit.nOff).toBeCloseTo(truth.nOff, 3);
    expect(fit.nOpen / truth.nOpen).toBeCloseTo(1, 6);
    expect(fit.rsOhm / truth.rsOhm).toBeCloseTo(1, 6);
    expect(fit.outliers).toEqual([]);
    expect(fit.chiSquare).toBeLessThan(1e-6);
  });

  test('does not depend on the order of the points', () => {
    fc.assert(
      fc.property(fc.shuffledSubarray([0, 1, 2, 3, 4, 5, 6], { minLength: 7 }), (order) => {
        const points = noisyPoints(nominalOf(2), randomOf(5, 'points'));
        const straight = fitted(points);
        const mixed = fitted(order.map((i) => points[i]!));
        expect(mixed.rsOhm / straight.rsOhm).toBeCloseTo(1, 9);
        expect(mixed.uRsOhm / straight.uRsOhm).toBeCloseTo(1, 6);
      }),
    );
  });

  test('scales with the standards: all of them twice as large double the source resistance and nothing else', () => {
    const points = noisyPoints(nominalOf(3), randomOf(8, 'points'));
    const doubled = points.map((point): CalPoint => {
      const { standard } = point;
      return standard.kind === 'resistor'
        ? { ...point, standard: { ...standard, ohm: 2 * standard.ohm, uOhm: 2 * standard.uOhm } }
        : point;
    });
    const options = { leadOhm: 0, uTouchOhm: 0 };
    const [one, two] = [fitted(points, options), fitted(doubled, options)];
    expect(two.rsOhm / one.rsOhm).toBeCloseTo(2, 8);
    expect(two.nOff).toBeCloseTo(one.nOff, 5);
    expect(two.nOpen).toBeCloseTo(one.nOpen, 5);
    expect(two.chiSquare).toBeCloseTo(one.chiSquare, 6);
  });
});

describe("the set's common error", () => {
  const bare = exactPoints(nominalOf(2));
  const withCommon = (uCommonRel: number): CalPoint[] =>
    bare.map((point) =>
      point.standard.kind === 'resistor' ? { ...point, standard: { ...point.standard, uCommonRel } } : point,
    );

  test('goes whole into the source resistance, and into nothing else', () => {
    const options = { leadOhm: 0, uTouchOhm: 0 };
    const [without, having] = [fitted(withCommon(0), options), fitted(withCommon(0.002), options)];
    expect(having.uRsOhm ** 2 - without.uRsOhm ** 2).toBeCloseTo((0.002 * having.rsOhm) ** 2, 3);
    expect(having.uOff).toBeCloseTo(without.uOff, 6);
    expect(having.uOpen).toBeCloseTo(without.uOpen, 6);
    expect(having.uCommonRel).toBeCloseTo(0.002, 6);
    expect(having.chiSquare).toBeCloseTo(without.chiSquare, 9);
  });

  test('does not average out over many resistors, as their own errors do', () => {
    const many = Array.from({ length: 60 }, (_, i) => 150 * 1.07 ** i).filter((ohm) => ohm < 6000);
    const ownShare = (ohms?: number[]): number => {
      const fit = fitted(exactPoints(nominalOf(2), ohms));
      expect(fit.uRsOhm / fit.rsOhm).toBeGreaterThan(resistor(1).uCommonRel);
      return Math.sqrt((fit.uRsOhm / fit.rsOhm) ** 2 - fit.uCommonRel ** 2);
    };
    expect(ownShare(many) / ownShare()).toBeLessThan(0.65);
  });

  test("a touch repeated averages the scatter of touches out, not the resistor's own error", () => {
    const repeated = [...bare, ...bare, ...bare, ...bare];
    const [once, often] = [fitted(bare), fitted(repeated)];
    expect(often.dof).toBe(4 * bare.length - 3);
    expect(often.uRsOhm).toBeGreaterThan(0.95 * once.uRsOhm);
  });
});

describe('what a fit claims, over many sittings with errors drawn as stated', () => {
  const runs = 400;
  const z95 = 1.959964;
  const ranges = [nominalOf(0), nominalOf(1), nominalOf(2), nominalOf(3), nominalOf(4), nominalOf(1, 'dry')];

  test('its 95 % intervals hold the true parameters in 95 %, its chi-square is one, and outliers are named in few', () => {
    const random = randomOf(20_261, 'sittings');
    let inside = 0;
    let count = 0;
    let improbable = 0;
    let accused = 0;
    for (let run = 0; run < runs; run++) {
      for (const nominal of ranges) {
        const { cov } = nominal;
        const truth = {
          ...nominal,
          nOff: nominal.nOff + 2 * random.normal(),
          // the open level of range 0 comes from its parts, so its truth is drawn as they may be
          nOpen: nominal.nOpen + 0.3 * Math.sqrt(cov[3]) * random.normal(),
          rsOhm: nominal.rsOhm * (1 + 0.002 * random.normal()),
        };
        const prior =
          nominal.range === 0
            ? { prior: { ...nominal, nOpen: truth.nOpen + Math.sqrt(cov[3]) * random.normal() } }
            : {};
        const fit = fitted(noisyPoints(truth, random), prior);
        if (fit.outliers.length > 0) {
          accused++;
          continue;
        }
        count += 3;
        if (Math.abs(fit.nOff - truth.nOff) <= z95 * fit.uOff) inside++;
        if (Math.abs(fit.nOpen - truth.nOpen) <= z95 * fit.uOpen) inside++;
        if (Math.abs(fit.rsOhm - truth.rsOhm) <= z95 * fit.uRsOhm) inside++;
        if (fit.probability < 0.05) improbable++;
      }
    }
    const fits = runs * ranges.length;
    // three parameters of one fit are correlated: as if a third as many had been counted
    const error = Math.sqrt((0.95 * 0.05) / (count / 3));
    expect(Math.abs(inside / count - 0.95)).toBeLessThan(4 * error);
    // those accused are mostly of the improbable twentieth; the prior of range 0 is centred on nominal offset and source
    expect((improbable + accused) / fits).toBeLessThan(0.05 + 4 * Math.sqrt((0.05 * 0.95) / fits));
    expect((improbable + accused) / fits).toBeGreaterThan(0.05 - 4 * Math.sqrt((0.05 * 0.95) / fits) - 0.01);
    expect(accused / fits).toBeLessThan(0.015);
  });
});

describe('points that determine no curve', () => {
  const points = exactPoints(nominalOf(2));

  test.each([
    ['none', []],
    ['undetermined', points.slice(0, 1)],
    ['undetermined', points.slice(0, 2)],
    ['undetermined', [points[2]!, points[2]!, points[2]!, points[2]!]],
    ['mixed', [...points, ...exactPoints(nominalOf(3))]],
    ['number', withPoint(points, 3, { code: Number.NaN })],
    ['number', withPoint(points, 3, { uCode: -1 })],
    ['number', withPoint(points, 3, { n: 0 })],
    ['number', withPoint(points, 3, { standard: resistor(-5) })],
  ] as [string, CalPoint[]][])('%s', (code, given) => {
    const result = fitRange(given);
    expect(result.ok ? null : result.problem.code).toBe(code);
  });

  test('three standards make a curve that nothing checks: doubtful', () => {
    const fit = fitted(points.slice(0, 3));
    expect(fit.dof).toBe(0);
    expect(fit.verdict).toBe('doubtful');
    expect(fit.problems.map(({ code }) => code)).toContain('no-check');
  });

  test('never throws, whatever the numbers', () => {
    const number = fc.oneof(fc.double(), fc.integer({ min: -10, max: 17_000 }));
    const standard = fc.oneof(
      fc.constant({ kind: 'short' as const }),
      fc.constant({ kind: 'open' as const }),
      fc.record({ kind: fc.constant('resistor' as const), ohm: number, uOhm: number, uCommonRel: number }),
    );
    const point = fc.record({
      range: fc.integer({ min: 0, max: 5 }),
      level: fc.constantFrom('normal' as const, 'dry' as const, 'voltage' as const),
      standard,
      code: number,
      uCode: number,
      n: fc.integer({ min: 0, max: 9 }),
    });
    fc.assert(
      fc.property(fc.array(point, { maxLength: 8 }), fc.boolean(), (points_, same) => {
        const given = same ? points_.map((one) => ({ ...one, range: 2, level: 'normal' as const })) : points_;
        const result = fitRange(given);
        if (!result.ok) return result.problem.text.length > 0;
        const { fit } = result;
        return [fit.nOff, fit.nOpen, fit.rsOhm, ...fit.cov].every(Number.isFinite) && fit.rsOhm > 0;
      }),
      { numRuns: 300 },
    );
  });
});

describe('where the converter ends', () => {
  test('an open of range 0 is passed over in silence, a resistor there is not', () => {
    const fit = fitted(exactPoints(nominalOf(0)), { prior: nominalOf(0) });
    expect(fit.residuals.map(({ index }) => index)).toEqual([0, 2, 3, 4, 5]);
    expect(fit.verdict).toBe('good');
    const beyond = fitted(exactPoints(nominalOf(0), [0.1, 0.22, 0.47, 1, 47]), { prior: nominalOf(0) });
    expect(beyond.problems.map(({ code }) => code)).toEqual(['clipped']);
  });

  test('the span of range 0 is known better than open level and source resistance apart', () => {
    const fit = fitted(exactPoints(nominalOf(0)), { prior: nominalOf(0) });
    const at = codeWithPartials(0.5, fit);
    const [offOff, offOpen, offRs, openOpen, openRs, rsRs] = fit.cov;
    const { byOff: a, byOpen: b, byRs: c } = at;
    const variance =
      a * a * offOff + b * b * openOpen + c * c * rsRs + 2 * (a * b * offOpen + a * c * offRs + b * c * openRs);
    expect(Math.sqrt(variance) / at.byOhm / 0.5).toBeLessThan(0.002);
    expect(fit.uRsOhm / fit.rsOhm).toBeGreaterThan(0.002);
  });
});
