import { describe, expect, test } from 'vitest';
import { parseLimits } from '../../../src/guide/file/limits.ts';

describe('limits as people type them', () => {
  test.each([
    [{ max: '2 ohm' }, { max: 2 }],
    [{ min: '1 Mohm' }, { min: 1e6 }],
    [
      { min: '0.2 ohm', max: '600 mohm' },
      { min: 0.2, max: 0.6 },
    ],
    ['0.2..0.6 ohm', { min: 0.2, max: 0.6 }],
    ['0.2 .. 0.6 ohm', { min: 0.2, max: 0.6 }],
    ['900 mohm..1.1 ohm', { min: 0.9, max: 1.1 }],
    ['100 ohm +- 5 %', { min: 95, max: 105 }],
    ['100 ohm ± 5%', { min: 95, max: 105 }],
    ['max 2 ohm', { max: 2 }],
    ['min: 1 Mohm', { min: 1e6 }],
  ])('%j', (input, expected) => {
    const parsed = parseLimits(input, 'ohm');
    if (!parsed.ok) throw new Error(JSON.stringify(parsed.issues));
    expect(parsed.limits).toEqual({
      quantity: 'resistance',
      ...Object.fromEntries(Object.entries(expected).map(([k, v]) => [k, expect.closeTo(v, 9)])),
    });
  });

  test('a voltage may be negative', () => {
    expect(parseLimits('-1.3..-1.1 V', 'volt')).toEqual({
      ok: true,
      limits: { quantity: 'voltage', min: -1.3, max: -1.1 },
    });
    expect(parseLimits('-1 V +- 10 %', 'volt')).toMatchObject({ ok: true, limits: { min: -1.1, max: -0.9 } });
  });
});

describe('limits that are refused', () => {
  test.each([
    [{ max: 2 }, 'units.missing', ['max']],
    [{ max: '2' }, 'units.missing', ['max']],
    [{ max: '2 V' }, 'units.wrong', ['max']],
    [{ max: '0,5 ohm' }, 'number.comma', ['max']],
    [{ max: null }, 'limits.form', ['max']],
    ['0.2..0.6', 'units.missing', []],
    [2, 'limits.form', []],
    ['2 ohm', 'limits.form', []],
    ['', 'limits.form', []],
    [{}, 'limits.form', []],
    [[], 'limits.form', []],
    [null, 'limits.form', []],
    [{ most: '2 ohm' }, 'field.unknown', ['most']],
    [{ min: '3 ohm', max: '2 ohm' }, 'limits.unmeetable', []],
    ['0.6..0.2 ohm', 'limits.unmeetable', []],
    ['2..2 ohm', 'limits.unmeetable', []],
    [{ max: '0 ohm' }, 'limits.unmeetable', []],
    [{ max: '-1 ohm' }, 'limits.unmeetable', []],
  ])('%j: %s', (input, code, path) => {
    const parsed = parseLimits(input, 'ohm');
    expect(parsed.ok).toBe(false);
    expect(!parsed.ok && parsed.issues[0]).toMatchObject({ code, path });
  });
});
