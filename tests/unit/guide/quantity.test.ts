import { expect, test } from 'vitest';
import { parseQuantity } from '../../../src/guide/file/quantity.ts';

test.each([
  ['2 ohm', 2],
  ['2ohm', 2],
  ['4.7 kohm', 4700],
  ['4.7 Kohm', 4700],
  ['1 Mohm', 1e6],
  ['1 MOhm', 1e6],
  ['1 mohm', 1e-3],
  ['.5 Ω', 0.5],
  ['50 mΩ', 0.05],
  ['3e-2 ohms', 0.03],
  ['1 Gohm', 1e9],
])('%s', (text, ohm) => {
  const parsed = parseQuantity(text, 'ohm');
  expect(parsed.ok && parsed.value).toBeCloseTo(ohm, 12);
});

/** Values as they stand on parts: IEC 60062:2016, clause on letter codes of values (from memory). */
test.each([
  ['47k', 47e3],
  ['1.2k', 1200],
  ['2.2 M', 2.2e6],
  ['4k7', 4700],
  ['4K7', 4700],
  ['0R22', 0.22],
  ['R47', 0.47],
  ['470R', 470],
  ['2M2', 2.2e6],
])('as on a part: %s', (text, ohm) => {
  const parsed = parseQuantity(text, 'ohm');
  expect(parsed.ok && parsed.value).toBeCloseTo(ohm, 9);
});

test.each(['47m', '4m7', '4K7J', '47', 'k'])('%s could be read in two ways, or in none, and is refused', (text) => {
  expect(parseQuantity(text, 'ohm').ok).toBe(false);
});

test('volts and seconds', () => {
  expect(parseQuantity('1.95 V', 'volt')).toMatchObject({ ok: true, value: 1.95 });
  expect(parseQuantity('-250 mV', 'volt')).toMatchObject({ ok: true, value: -0.25 });
  expect(parseQuantity('12 ms', 'second')).toMatchObject({ ok: true, value: 0.012 });
});

test.each([
  ['2', 'ohm', 'units.missing'],
  ['2 V', 'ohm', 'units.wrong'],
  ['2 ohm', 'volt', 'units.wrong'],
  ['2 Ms', 'second', 'units.wrong'],
  ['2 furlongs', 'ohm', 'units.wrong'],
  ['0,2 ohm', 'ohm', 'number.comma'],
  ['about 2 ohm', 'ohm', 'number.bad'],
  ['', 'ohm', 'number.bad'],
  ['1..2 ohm', 'ohm', 'number.bad'],
  ['1e400 ohm', 'ohm', 'number.bad'],
  ['0x10 ohm', 'ohm', 'number.bad'],
] as const)('%s as %s is refused: %s', (text, dimension, code) => {
  expect(parseQuantity(text, dimension)).toEqual({ ok: false, code });
});
