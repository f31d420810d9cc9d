import { describe, expect, test } from 'vitest';
import { colours } from '../../src/calibrate/standards/colour-bands.ts';
import {
  nearestPreferred,
  preferredDigits,
  type SeriesName,
  seriesNames,
  unusualValue,
} from '../../src/calibrate/standards/e-series.ts';
import { readResistor } from '../../src/calibrate/standards/resistor-code.ts';
import { toleranceLetters } from '../../src/measure/reading/letter-code.ts';
import data from './data/resistor-codes.json' with { type: 'json' };

function read(text: string) {
  const result = readResistor(text);
  if (!result.ok) throw new Error(result.problem.text);
  return result.resistor;
}

describe('colour code, IEC 60062:2016 with its amendment of 2019', () => {
  test.each(data.colour.cases)('$bands is $ohm ohm, $tol_pct %', ({ bands, ohm, tol_pct, min, max, ...rest }) => {
    const resistor = read(bands.join(' '));
    expect(resistor.ohm).toBeCloseTo(ohm, 9);
    expect(resistor.tolerancePct).toBe(tol_pct);
    expect(resistor.ohm * (1 - resistor.tolerancePct! / 100)).toBeCloseTo(min, 6);
    expect(resistor.ohm * (1 + resistor.tolerancePct! / 100)).toBeCloseTo(max, 6);
    expect(resistor.ppmPerK).toBe('ppm_per_K' in rest ? rest.ppm_per_K : null);
  });

  // the whole table: digit, power of ten, tolerance in percent, ppm/K
  test.each([
    ['pink', null, -3, null, null],
    ['silver', null, -2, 10, null],
    ['gold', null, -1, 5, null],
    ['black', 0, 0, null, 250],
    ['brown', 1, 1, 1, 100],
    ['red', 2, 2, 2, 50],
    ['orange', 3, 3, 0.05, 15],
    ['yellow', 4, 4, 0.02, 25],
    ['green', 5, 5, 0.5, 20],
    ['blue', 6, 6, 0.25, 10],
    ['violet', 7, 7, 0.1, 5],
    ['grey', 8, 8, 0.01, 1],
    ['white', 9, 9, null, null],
  ] as const)(
    '%s is digit %s, multiplier 10^%s, tolerance %s, coefficient %s',
    (name, digit, multiplier, tolerancePct, ppmPerK) => {
      expect(colours[name]).toMatchObject({ digit, multiplier, tolerancePct, ppmPerK });
      expect(Object.keys(colours)).toHaveLength(13);
    },
  );

  test('takes the letters of IEC 60757 (from memory) for the names', () => {
    expect(read('BN BK RD GD')).toEqual(read('brown black red gold'));
    expect(read('gy-rd-bk-bn')).toEqual(read('grey, red, black, brown'));
  });

  test.each([
    ['gold red black brown', 'backwards'],
    ['silver brown brown brown', 'backwards'],
    ['brown black', 'bands'],
    ['brown black red red red red red', 'bands'],
    ['brown gold red gold', 'bands'],
    ['brown black red white', 'bands'],
    ['brown black rad gold', 'colour'],
  ])('refuses %s as %s', (text, code) => {
    const result = readResistor(text);
    expect(result.ok ? null : result.problem.code).toBe(code);
  });
});

describe('letter and digit code, IEC 60062', () => {
  test.each(Object.entries(data.letters.cases))('%s is %d ohm', (text, ohm) => {
    expect(read(text)).toEqual({ ohm, tolerancePct: null, ppmPerK: null, read: 'letters' });
  });

  test.each(Object.entries(data.letters.with_tolerance))('%s is %j', (text, [ohm, tolerancePct]) => {
    expect(read(text)).toMatchObject({ ohm, tolerancePct });
  });

  test.each(Object.entries(toleranceLetters))(
    'the letter %s is %d %% (letters from memory)',
    (letter, tolerancePct) => {
      expect(read(`47K${letter}`)).toMatchObject({ ohm: 47_000, tolerancePct });
    },
  );

  test.each([
    ['chip 334', 330e3],
    ['chip 4992', 49.9e3],
    ['chip R010', 0.01],
    ['chip 000', 0],
  ])('%s is %d ohm (three and four digits of IEC 60062)', (text, ohm) => {
    expect(read(text).ohm).toBe(ohm);
  });
});

describe('values as people write them', () => {
  test.each([
    ['470 ohm 1 %', 470, 1],
    ['4.7 kohm, 0.1%', 4700, 0.1],
    ['4.7k', 4700, null],
    ['4k7', 4700, null],
    ['1 Mohm +/- 5 %', 1e6, 5],
    ['2.2M\u03a9', 2.2e6, null],
    ['100 mohm', 0.1, null],
    ['100', 100, null],
    ['1e3 ohm', 1000, null],
    ['470R 1 %', 470, 1],
  ])('%s', (text, ohm, tolerancePct) => {
    expect(read(text)).toMatchObject({ ohm, tolerancePct });
  });

  test.each([
    ['', 'empty'],
    ['forty', 'value'],
    ['-3 ohm', 'value'],
    ['4,7k', 'value'],
    ['470 ohm 0 %', 'tolerance'],
    ['470RF 5 %', 'tolerance'],
    ['47 V', 'value'],
    ['R', 'value'],
  ])("refuses '%s' as %s", (text, code) => {
    const result = readResistor(text);
    expect(result.ok ? null : result.problem.code).toBe(code);
  });
});

describe('preferred values, IEC 60063', () => {
  const { source: _source, ...series } = data.eSeries;

  test.each(Object.entries(series))('%s in full', (name, digits) => {
    expect(preferredDigits[name as SeriesName]).toEqual(digits);
  });

  test('E192 has 192 rising values, holds E96 as every second, and 920 where the rule says 919', () => {
    const { E96, E192 } = preferredDigits;
    expect(new Set(E192).size).toBe(192);
    expect([...E192].sort((a, b) => a - b)).toEqual(E192);
    expect(E192.filter((_, i) => i % 2 === 0)).toEqual(E96);
    expect(E192[185]).toBe(920);
    expect(Math.round(100 * 10 ** (185 / 192))).toBe(919);
  });

  test('finds every value of every series in nine decades, from beside it too', () => {
    for (const name of seriesNames) {
      const digits = preferredDigits[name];
      const unit = digits[0]!;
      for (let decade = -2; decade <= 6; decade++) {
        for (const digit of digits) {
          const ohm = (digit / unit) * 10 ** decade;
          // 0.2 % away: less than half a step of E192
          for (const beside of [1, 1.002, 0.998]) expect(nearestPreferred(ohm * beside, name) / ohm).toBeCloseTo(1, 9);
        }
      }
    }
  });

  test.each([
    [4800, 1, [4750, 4700]],
    [5000, 5, [5100]],
    [480, 5, [470]],
    [999, 1, [1000]],
  ])('asks about %d ohm at %d %%: did you mean %j', (ohm, tolerancePct, nearestOhm) => {
    expect(unusualValue(ohm, tolerancePct)?.nearestOhm.map((value) => Number(value.toPrecision(6)))).toEqual(
      nearestOhm,
    );
  });

  test.each([
    [470, 5],
    [4750, 1],
    [180, 1],
    [4.99e3, 0.1],
    [920, 0.1],
    [0, 5],
    [10e6, null],
  ])('does not ask about %d ohm at %s %%', (ohm, tolerancePct) => {
    expect(unusualValue(ohm, tolerancePct)).toBeNull();
  });
});
