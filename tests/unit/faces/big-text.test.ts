import fc from 'fast-check';
import { expect, test } from 'vitest';
import { bigMarked, bigText } from '../../../src/faces/screen/parts/big-text.ts';
import { layoutFor } from '../../../src/faces/screen/parts/layout.ts';
import { markText, toneLook } from '../../../src/faces/screen/parts/theme.ts';
import type { Mark } from '../../../src/view/words/mark.ts';
import { outcomeWords } from '../../../src/view/words/outcome.ts';
import { ascii, unicode } from '../../support/frames.ts';

test('no two characters of the large font look alike', () => {
  const shapes = [...'0123456789ABCDEFGHIJKLMNPQRSTUVWXYZ.-+<>?/'].map((char) =>
    bigText(char, 20, 5, '#')!.lines.join('\n'),
  );
  expect(new Set(shapes).size).toBe(shapes.length);
});

test('large text never exceeds its room, and is as large as fits', () => {
  fc.assert(
    fc.property(fc.stringMatching(/^[0-9.<> -]{1,12}$/), fc.nat(120), fc.nat(12), (text, width, height) => {
      const big = bigText(text, width, height, '#');
      if (big === null) return;
      expect(big.lines.length).toBeLessThanOrEqual(height);
      for (const line of big.lines) expect(line.length).toBe(big.width);
      expect(big.width).toBeLessThanOrEqual(width);
      const wider = bigText(text, width + 40, height, '#');
      expect(wider!.width).toBeGreaterThanOrEqual(big.width);
    }),
  );
});

test('a text with a character that the font has not is not drawn', () => {
  expect(bigText('5 Ω', 80, 10, '#')).toBeNull();
  expect(bigText('', 80, 10, '#')).toBeNull();
});

test('every outcome has a large mark of its own', () => {
  const marks: Mark[] = ['pass', 'fail', 'borderline', 'unsteady', 'no-contact', 'live'];
  const shapes = marks.map((mark) => bigMarked(mark, 'I', 60, 5, '#')!.lines.join('\n'));
  expect(new Set(shapes).size).toBe(shapes.length);
});

test('every outcome fits 80 columns with its mark', () => {
  const cols = layoutFor(80, 24)!.leftCols - 1;
  for (const outcome of ['pass', 'fail', 'borderline', 'unsteady', 'no-contact', 'live'] as const) {
    const { word, mark } = outcomeWords[outcome];
    expect(bigMarked(mark, word, cols, 5, '#'), word).not.toBeNull();
  }
});

test('marks are told apart without colour, in ASCII too', () => {
  const marks: Mark[] = ['pass', 'fail', 'borderline', 'unsteady', 'no-contact', 'live', 'skipped', 'none', 'now'];
  for (const theme of [unicode, ascii]) {
    const texts = marks.map((mark) => markText(mark, theme));
    expect(new Set(texts).size).toBe(marks.length);
  }
});

test('without colour no tone asks for one', () => {
  for (const tone of ['plain', 'quiet', 'strong', 'pass', 'fail', 'doubt', 'danger'] as const) {
    expect(toneLook(tone, ascii)).not.toHaveProperty('color');
    expect(toneLook(tone, ascii).dimColor).toBe(false);
  }
});
