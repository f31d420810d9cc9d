import fc from 'fast-check';
import stringWidth from 'string-width';
import { describe, expect, test } from 'vitest';
import { cutText, firstCols, fitText, wrapLines } from '../../../src/view/text/fit-text.ts';
import { sureColumns } from '../../../src/view/text/sure-columns.ts';

const wide = '左のばねから基板コネクタまで';

test.each([
  ['short', 10, 'short'],
  ['a longer text', 8, 'a long..'],
  [wide, 9, '左のば..'],
  [wide, 8, '左のば..'],
  ['abc', 2, 'ab'],
  ['abc', 0, ''],
])('%s in %d columns is %s', (text, cols, cut) => {
  expect(cutText(text, cols)).toBe(cut);
});

describe('whatever the text', () => {
  const texts = fc.oneof(
    fc.string({ unit: 'grapheme', maxLength: 60 }),
    fc.string({ unit: fc.constantFrom('左', 'の', 'a', ' ', 'é', '한'), maxLength: 60 }),
  );
  const columns = fc.integer({ min: 0, max: 40 });
  const plain = (text: string): string => text.replace(/[\s\p{Cc}\p{Cf}\p{Cs}]+/gu, ' ').trim();

  test('it fits, and fills its place to the column', () => {
    fc.assert(
      fc.property(texts.map(plain), columns, (text, cols) => {
        expect(stringWidth(firstCols(text, cols))).toBeLessThanOrEqual(cols);
        expect(stringWidth(fitText(text, cols))).toBe(cols);
      }),
    );
  });

  test('its lines fit, and none is more than asked for', () => {
    fc.assert(
      fc.property(
        texts.map(plain),
        fc.integer({ min: 4, max: 40 }),
        fc.integer({ min: 1, max: 4 }),
        (text, cols, most) => {
          const lines = wrapLines(text, cols, most);
          expect(lines.length).toBeLessThanOrEqual(most);
          for (const line of lines) expect(stringWidth(line)).toBeLessThanOrEqual(cols);
        },
      ),
    );
  });

  test('no letter is lost where there is room, whatever way it is composed', () => {
    fc.assert(
      fc.property(texts.map(plain), (text) => {
        const shown = wrapLines(text, 12, 100).join('').replaceAll(' ', '');
        expect(shown).toBe(sureColumns(text).replaceAll(' ', ''));
        const seen = /[\p{L}\p{N}\p{P}\p{Sc}\p{Sm}]/gu;
        const letters = (of: string) =>
          (of.normalize().match(seen) ?? []).filter((c) => !/[\u3248-\u324f\ud7b0-\ud7ff\u115f\u3164\uffa0]/.test(c));
        // what has no columns that terminals agree on stands as `?`, or not at all
        expect(letters(shown.replaceAll('?', ''))).toEqual(letters(text.replaceAll('?', '')));
      }),
    );
  });
});

test('a text that goes on says so', () => {
  expect(wrapLines('one two three four', 9, 1)).toEqual(['one two..']);
});

test('wrapped lines keep to their width and lose no word before the last line', () => {
  fc.assert(
    fc.property(
      fc.array(fc.stringMatching(/^[a-z]{1,30}$/), { maxLength: 30 }),
      fc.integer({ min: 4, max: 60 }),
      (words, width) => {
        const text = words.join(' ');
        for (const line of wrapLines(text, width, 5)) expect(line.length).toBeLessThanOrEqual(width);
        // a word longer than the width is cut; blanks between words become line ends
        expect(wrapLines(text, width, 1000).join('').replaceAll(' ', '')).toBe(text.replaceAll(' ', ''));
        if (words.every((word) => word.length <= width)) expect(wrapLines(text, width, 1000).join(' ')).toBe(text);
      },
    ),
  );
});
