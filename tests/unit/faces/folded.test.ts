import fc from 'fast-check';
import stringWidth from 'string-width';
import { expect, test } from 'vitest';
import { folded } from '../../../src/faces/lines/folded.ts';

const long = '  - Whole path with the key held, dry and then normal (M1 and M2) read 49.2 kohm dry and 49.1 kohm';

test('a line into a pipe stays one line', () => {
  expect(folded(long, undefined)).toEqual([long]);
});

test('a line on a terminal is broken between words, and goes on further in', () => {
  expect(folded(long, 60)).toEqual([
    '  - Whole path with the key held, dry and then normal (M1',
    '    and M2) read 49.2 kohm dry and 49.1 kohm',
  ]);
});

test('what fits stays as it is', () => {
  expect(folded('> Prove the probe.', 80)).toEqual(['> Prove the probe.']);
});

test('no row is wider than the terminal, and no word is lost', () => {
  const words = fc.array(fc.stringMatching(/^\S{1,90}$/), { minLength: 1, maxLength: 20 });
  fc.assert(
    fc.property(words, fc.integer({ min: 0, max: 6 }), fc.integer({ min: 40, max: 120 }), (all, indent, cols) => {
      const line = `${' '.repeat(indent)}${all.join(' ')}`;
      const rows = folded(line, cols);
      for (const row of rows) expect(stringWidth(row)).toBeLessThanOrEqual(cols);
      expect(rows.join('').replaceAll(' ', '')).toBe(line.normalize().replaceAll(' ', ''));
    }),
  );
});
