import fc from 'fast-check';
import { expect, test } from 'vitest';
import { percent } from '../../../../src/statistics/percent.ts';

test.each([
  [0, '0 %'],
  [1e-9, '< 1 %'],
  [0.0099, '< 1 %'],
  [0.01, '1 %'],
  [0.374, '37 %'],
  [0.99, '99 %'],
  [0.994, '> 99 %'],
  [1 - 1e-9, '> 99 %'],
  [1, '100 %'],
])('%d reads %s', (p, text) => {
  expect(percent(p)).toBe(text);
});

test('what is not certain never reads as certain', () => {
  fc.assert(
    fc.property(fc.double({ min: 0, max: 1, minExcluded: true, maxExcluded: true, noNaN: true }), (p) => {
      expect(['0 %', '100 %']).not.toContain(percent(p));
    }),
  );
});
