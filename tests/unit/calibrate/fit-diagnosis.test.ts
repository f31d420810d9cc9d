import { describe, expect, test } from 'vitest';
import { randomOf } from '../../../sim/random.ts';
import { fitRange } from '../../../src/calibrate/fit/fit-range.ts';
import type { RangeFit } from '../../../src/calibrate/fit/fit-types.ts';
import { type CalPoint, standardOhm } from '../../../src/calibrate/points/cal-point.ts';
import { nearestPreferred } from '../../../src/calibrate/standards/e-series.ts';
import { codeOfOhm } from '../../../src/measure/reading/calibration.ts';
import { nominalCalibration } from '../../../src/measure/reading/nominal.ts';
import type { RangeCalibration } from '../../../src/measure/types.ts';
import { exactPoints, noisyPoints, nominalOf, resistor, withPoint } from './made-points.ts';

// places of the points on range 2: short, open, 100, 470, 1000, 3300, 6800 ohm
const short = 0;
const open = 1;
const r470 = 3;
const r1000 = 4;
const r3300 = 5;
const r6800 = 6;
const truth = nominalOf(2);
const sound = noisyPoints(truth, randomOf(3, 'sound'));

function fitted(points: readonly CalPoint[]): RangeFit {
  const result = fitRange(points);
  if (!result.ok) throw new Error(result.problem.text);
  return result.fit;
}

function reading(index: number, ohm: number, range = 2): CalPoint[] {
  return withPoint(sound, index, { code: codeOfOhm(ohm, nominalOf(range)) });
}

describe('a point that does not belong is left out, named, and told with its likeliest cause', () => {
  test('resistors that agree with one another against the shorted and the open tips are refused', () => {
    const halved = sound.map((point) =>
      point.standard.kind === 'resistor' ? { ...point, code: point.code / 2 } : point,
    );
    const fit = fitted(halved);
    expect(fit.outliers.map(({ index }) => index)).toEqual([short, open]);
    expect(fit.verdict).toBe('refused');
    expect(fit.problems.map(({ code }) => code)).toContain('ends-left-out');
    expect(fit.outliers[1]).toMatchObject({ cause: 'unexplained', text: expect.stringContaining('above the open') });
  });

  test('no point of a sound sitting is accused', () => {
    const fit = fitted(sound);
    expect(fit.outliers).toEqual([]);
    expect(fit.verdict).toBe('good');
    expect(fit.problems).toEqual([]);
  });

  test.each([
    ['another value of E24', r470, 511, { cause: 'wrong-resistor', wouldBeOhm: 510, otherIndex: null }],
    ['ten times too much', r470, 4690, { cause: 'wrong-resistor', wouldBeOhm: 4700, otherIndex: null }],
    [
      'a resistor off its marking by more than any tolerance',
      r1000,
      1055,
      { cause: 'wrong-resistor', wouldBeOhm: 1100 },
    ],
    ['the neighbour on the board', r470, 1000, { cause: 'wrong-resistor', wouldBeOhm: 1000, otherIndex: r1000 }],
    ['some ohm in series', r470, 474.8, { cause: 'bad-touch' }],
    ['an open', r3300, 1e9, { cause: 'bad-touch' }],
    ['a short through dirt', short, 40, { cause: 'bad-touch' }],
    ['open tips on something', open, 3e4, { cause: 'bad-touch' }],
    ['fingers across open tips', open, 1.2e5, { cause: 'leak' }],
  ] as const)('%s', (_name, index, ohm, wanted) => {
    const fit = fitted(reading(index, ohm));
    expect(fit.outliers).toHaveLength(1);
    expect(fit.outliers[0]).toMatchObject({ index, ...wanted });
    expect(fit.verdict).toBe('doubtful');
    expect(fit.residuals.filter(({ used }) => !used).map((residual) => residual.index)).toEqual([index]);
  });

  test('tells what it reads instead, by the fit of the others', () => {
    expect(fitted(reading(r470, 511)).outliers[0]!.readsOhm / 511).toBeCloseTo(1, 2);
  });

  test('two swapped points hide one another, and are found as a pair', () => {
    const swapped = withPoint(withPoint(sound, r1000, { code: sound[r3300]!.code }), r3300, {
      code: sound[r1000]!.code,
    });
    const { outliers } = fitted(swapped);
    expect(outliers.map(({ index, cause, otherIndex }) => [index, cause, otherIndex])).toEqual([
      [r1000, 'swapped', r3300],
      [r3300, 'swapped', r1000],
    ]);
  });

  test('the code of another range', () => {
    const { outliers } = fitted(reading(r6800, 6800, 3));
    expect(outliers).toMatchObject([{ index: r6800, cause: 'wrong-range' }]);
  });

  test('fingers beside a large resistor', () => {
    const range4 = noisyPoints(nominalOf(4), randomOf(4, 'sound'));
    // 2.2 Mohm with 3 Mohm beside it
    const { outliers } = fitted(withPoint(range4, 5, { code: codeOfOhm(1.269e6, nominalOf(4)) }));
    expect(outliers).toMatchObject([{ index: 5, cause: 'leak' }]);
  });

  test('a touch that scatters far more than the others', () => {
    const { outliers } = fitted(withPoint(sound, r1000, { code: sound[r1000]!.code + 260, uCode: 30 }));
    expect(outliers).toMatchObject([{ index: r1000, cause: 'bad-touch' }]);
  });

  test('one bad touch among several on the same resistor leaves the others in', () => {
    const again = sound.map((point) => ({ ...point, code: point.code + 0.5 }));
    const points = [...sound, ...again, ...again];
    const { outliers, residuals } = fitted(withPoint(points, 7 + r470, { code: points[r470]!.code + 120 }));
    expect(outliers.map(({ index }) => index)).toEqual([7 + r470]);
    expect(residuals.filter(({ used }) => used)).toHaveLength(20);
  });

  test('a wrong resistor touched three times is left out three times', () => {
    const points = [...sound, ...sound, ...sound].map((point, i) =>
      i % 7 === r470 ? { ...point, code: codeOfOhm(511, truth) + (i % 3) } : point,
    );
    expect(fitted(points).outliers.map(({ index }) => index)).toEqual([r470, 7 + r470, 14 + r470]);
  });
});

describe('over many sittings', () => {
  const rangeEntries = nominalCalibration.ranges;
  const priorOf = (nominal: RangeCalibration) => (nominal.range === 0 ? { prior: nominal } : {});

  test('a resistor that is another of E24 is named with its value in nearly all, and never the wrong one alone', () => {
    const random = randomOf(31, 'wrong resistors');
    let named = 0;
    let accusedWrongly = 0;
    const runs = 150;
    for (let run = 0; run < runs; run++) {
      const nominal = rangeEntries[run % rangeEntries.length]!;
      const points = noisyPoints(nominal, random);
      const index = random.integer(2, points.length - 1);
      const stated = standardOhm(points[index]!.standard);
      // 20 % more at least, so that it is another value whatever the tolerances
      const ohm = nearestPreferred(stated * (1.2 + random.uniform()), 'E24');
      const result = fitRange(withPoint(points, index, { code: codeOfOhm(ohm + 0.002, nominal) }), priorOf(nominal));
      if (!result.ok) continue;
      const [first, ...more] = result.fit.outliers;
      if (first?.index === index && more.length === 0 && Math.abs(first.wouldBeOhm! / ohm - 1) < 1e-9) named++;
      if (result.fit.verdict !== 'refused' && first !== undefined && first.index !== index) accusedWrongly++;
    }
    expect(named / runs).toBeGreaterThan(0.96);
    expect(accusedWrongly).toBe(0);
  });

  test('two swapped resistors are named as a pair in nearly all', () => {
    const random = randomOf(32, 'swapped resistors');
    let named = 0;
    const runs = 90;
    for (let run = 0; run < runs; run++) {
      const nominal = rangeEntries[run % rangeEntries.length]!;
      const points = noisyPoints(nominal, random);
      const a = random.integer(2, points.length - 2);
      const b = random.integer(a + 1, points.length - 1);
      const swapped = withPoint(withPoint(points, a, { code: points[b]!.code }), b, { code: points[a]!.code });
      const result = fitRange(swapped, priorOf(nominal));
      if (!result.ok) continue;
      const found = result.fit.outliers.map(({ index, cause, otherIndex }) => [index, cause, otherIndex]);
      if (
        JSON.stringify(found) ===
        JSON.stringify([
          [a, 'swapped', b],
          [b, 'swapped', a],
        ])
      )
        named++;
    }
    expect(named / runs).toBeGreaterThan(0.96);
  });
});

describe('it refuses to call good what is not', () => {
  test('when many points are wrong', () => {
    const random = randomOf(9, 'wrong');
    const fit = fitted(sound.map((point) => ({ ...point, code: point.code * (1 + 0.1 * random.normal()) })));
    expect(fit.verdict).toBe('refused');
  });

  test('when it cannot be told which of its points is wrong', () => {
    // two resistors that contradict one another, touched twice each, and no third to decide between them
    const points = exactPoints(truth, [990, 1010]).map((point, i) =>
      i === 3 ? { ...point, code: point.code + 90 } : point,
    );
    const fit = fitted([...points, ...points]);
    expect(fit.verdict).toBe('refused');
    expect(fit.problems.map(({ code }) => code)).toContain('ambiguous');
  });

  test('when one of four standards is wrong, since any of them could be', () => {
    const points = exactPoints(truth, [470, 1000]);
    const fit = fitted(withPoint(points, 3, { code: points[3]!.code * 0.9 }));
    expect(fit.problems.map(({ code }) => code)).toContain('inconsistent');
    expect(fit.verdict).toBe('refused');
  });

  test('when the resistors are too rough for the range', () => {
    const rough = exactPoints(truth).map(
      (point): CalPoint =>
        point.standard.kind === 'resistor'
          ? { ...point, standard: { ...resistor(point.standard.ohm), uOhm: 0.05 * point.standard.ohm } }
          : point,
    );
    expect(fitted(rough).problems.map(({ code }) => code)).toEqual(['wide']);
  });

  test('when the curve is none of this design', () => {
    const strange = { ...truth, rsOhm: truth.rsOhm * 1.2 };
    expect(fitted(exactPoints(strange)).problems.map(({ code }) => code)).toEqual(['far-from-parts']);
  });

  test('when nothing tells its zero', () => {
    expect(fitted(sound.slice(1)).problems.map(({ code }) => code)).toEqual(['no-short']);
  });
});
