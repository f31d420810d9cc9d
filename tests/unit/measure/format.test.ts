import { describe, expect, test } from 'vitest';
import { formatLimits, formatQuantity, formatReading } from '../../../src/measure/reading/format.ts';
import type { Reading } from '../../../src/measure/types.ts';
import { manyDof } from '../../../src/statistics/distributions/distribution.ts';

function reading(value: number, u: number, part: Partial<Reading> = {}): Reading {
  return { quantity: 'resistance', value, u, dof: manyDof, state: 'in-range', rangeEnd: 10e6, parts: [], ...part };
}

describe('a reading has as many digits as its uncertainty allows', () => {
  // U = 1.96 u, rounded up to one digit, two if it begins with 1
  test.each([
    [0.4312, 0.03, '0.43 ohm +/- 0.06 ohm'],
    [0.4312, 0.0075, '0.431 ohm +/- 0.015 ohm'],
    [47.123, 0.4, '47.1 ohm +/- 0.8 ohm'],
    [-0.0004, 0.001, '0.000 ohm +/- 0.002 ohm'],
    [-0.004, 0.001, '-0.004 ohm +/- 0.002 ohm'],
    [4712.3, 40, '4.71 kohm +/- 0.08 kohm'],
    [1.234e6, 1e4, '1.23 Mohm +/- 0.02 Mohm'],
    [123, 400, '100 ohm +/- 800 ohm'],
  ])('%d with u = %d is %s', (value, u, text) => {
    expect(formatReading(reading(value, u))).toBe(text);
  });

  test('with few degrees of freedom the interval is wider', () => {
    expect(formatReading(reading(1, 0.1, { dof: 1 }))).toBe('1.0 ohm +/- 1.3 ohm');
  });

  test('in volts', () => {
    expect(formatReading(reading(-3.7012, 0.01, { quantity: 'voltage' }))).toBe('-3.70 V +/- 0.02 V');
  });
});

describe('what is no value', () => {
  test.each([
    [{ state: 'above-range' }, '> 10 Mohm (open)'],
    [{ state: 'below-range' }, '< 0 ohm (below range)'],
    [{ state: 'unreadable' }, 'no reading'],
    [{ state: 'above-range', quantity: 'voltage', rangeEnd: 19.9 }, '> 19.9 V (above range)'],
    [{ state: 'below-range', quantity: 'voltage', rangeEnd: 19.9 }, '< -19.9 V (below range)'],
  ] as const)('%o is %s', (part, text) => {
    expect(formatReading(reading(0, 1, part))).toBe(text);
  });
});

test('quantities and limits', () => {
  expect(formatQuantity(2, 'resistance')).toBe('2 ohm');
  expect(formatQuantity(1.5e6, 'resistance')).toBe('1.5 Mohm');
  expect(formatQuantity(-3.3, 'voltage')).toBe('-3.3 V');
  expect(formatLimits({ quantity: 'resistance', max: 2 })).toBe('at most 2 ohm');
  expect(formatLimits({ quantity: 'resistance', min: 1e6 })).toBe('at least 1 Mohm');
  expect(formatLimits({ quantity: 'resistance', min: 0.2, max: 0.6 })).toBe('0.2 ohm .. 0.6 ohm');
  expect(formatLimits({ quantity: 'resistance' })).toBe('no limit');
});

test.each([
  [0, '0 ohm'],
  [0.0229999, '0.023 ohm'],
  [999.99, '1 kohm'],
  [999_960, '1 Mohm'],
  [4.7e4, '47 kohm'],
  [1.05e6, '1.05 Mohm'],
  [1e9, '1 Gohm'],
  [Number.POSITIVE_INFINITY, 'open'],
])('%d ohm is written %s: rounded before its unit is chosen, never in mohm', (ohm, text) => {
  expect(formatQuantity(ohm, 'resistance')).toBe(text);
});

test('a volt stays a volt, however small', () => {
  expect(formatQuantity(0.017391, 'voltage')).toBe('0.01739 V');
});

test('as many digits as are asked for', () => {
  expect(formatQuantity(0.123456789, 'resistance', 2)).toBe('0.12 ohm');
  expect(formatQuantity(1234.56789, 'resistance', 9)).toBe('1.23456789 kohm');
});
