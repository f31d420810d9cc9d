import xterm from '@xterm/headless';
import fc from 'fast-check';
import stringWidth from 'string-width';
import { describe, expect, test } from 'vitest';
import { sureColumns } from '../../../src/view/text/sure-columns.ts';

/** Columns that a terminal gives to a text; by its table, which is that of Unicode 5.0 with 6.0's wide characters. */
async function columnsOf(texts: readonly string[]): Promise<number[]> {
  const terminal = new xterm.Terminal({ cols: 1000, rows: 2, allowProposedApi: true });
  const columns: number[] = [];
  for (const text of texts) {
    await new Promise<void>((resolve) => terminal.write(`\r\u001b[2K${text}`, resolve));
    columns.push(terminal.buffer.active.cursorX);
  }
  terminal.dispose();
  return columns;
}

/** Of ideographs and syllables, which are all alike, every hundredth. */
const alike = (code: number): boolean =>
  (code > 0x3400 && code < 0xa000) || (code > 0xac00 && code < 0xd7a0) || code > 0x17000;
const codePoints = Array.from({ length: 0x20000 - 0xa0 }, (_, i) => 0xa0 + i).filter(
  (code) => (code < 0xd800 || code > 0xdfff) && (code > 0x1a000 || !alike(code) || code % 100 === 0),
);

/** Rows of 400 characters, each behind a letter, as one text. */
function rowsOf(chosen: readonly number[]): string[] {
  const texts = chosen.map((code) => `a${String.fromCodePoint(code)}`);
  return Array.from({ length: Math.ceil(texts.length / 400) }, (_, i) =>
    sureColumns(texts.slice(i * 400, i * 400 + 400).join('')),
  );
}

test('no assigned character takes more columns on a terminal than are counted for it', async () => {
  const assigned = codePoints.filter(
    (code) => !/[\p{Cn}\p{Cc}\p{Cf}\p{Co}\p{Zl}\p{Zp}]/u.test(String.fromCodePoint(code)),
  );
  const marks = assigned.filter((code) =>
    /\p{M}|\p{Default_Ignorable_Code_Point}|[\u1160-\u11ff\ud7b0-\ud7ff]/u.test(String.fromCodePoint(code)),
  );
  expect(marks.length).toBeGreaterThan(2000);
  const singles = marks.map((code) => sureColumns(`a${String.fromCodePoint(code)}`));
  const seen = await columnsOf(singles);
  const over = singles.filter((text, i) => seen[i]! > stringWidth(text));
  expect(over.map((text) => [...text].map((c) => c.codePointAt(0)!.toString(16)))).toEqual([]);
  const isMark = new Set(marks);
  const rows = rowsOf(assigned.filter((code) => !isMark.has(code)));
  const columns = await columnsOf(rows);
  expect(rows.filter((text, i) => columns[i]! > stringWidth(text))).toEqual([]);
});

test('no text of joined letters takes more columns than are counted', async () => {
  const letters = ['\u0915', '\u0937', '\u0995', '\u0d15', '\u1000', '\u1780', '\u0e17', 'a', '検'];
  const marks = [
    '\u094d',
    '\u09cd',
    '\u0d4d',
    '\u0d4e',
    '\u1039',
    '\u17d2',
    '\u0e33',
    '\u093f',
    '\u0301',
    '\u{110bd}',
    '\u{111c2}',
  ];
  const joined = letters.flatMap((a) => marks.flatMap((mark) => letters.map((b) => sureColumns(`${a}${mark}${b}`))));
  const seen = await columnsOf(joined);
  expect(joined.filter((text, i) => seen[i]! > stringWidth(text))).toEqual([]);
});

describe('what terminals agree about stays', () => {
  test.each([
    'Ω ± µ',
    'Prüfung',
    'e\u0301'.normalize(),
    'ก\u0e34น',
    '\u0915\u093f\u0937\u094d',
    '検査',
    '한글',
    '█ ▼ ✓',
  ])('%s', (text) => {
    expect(sureColumns(text)).toBe(text);
  });
});

describe('what they disagree about leaves its letter', () => {
  test.each([
    [
      'a letter of a script younger than their tables',
      '\u{11099}\u{110ba}\u{11099}\u{110ba}'.normalize('NFD'),
      '\u{1109a}\u{1109a}',
    ],
    ['a mark that composes with nothing', '\u{11083}\u{110ba}', '\u{11083}'],
    ['letters that are joined to one', '\u0915\u094d\u0937\u093f', '\u0915\u0937\u093f'],
    ['a vowel of two parts', '\u0e17\u0e33', '\u0e17\u0e4d\u0e32'],
    ['a keycap', '1\ufe0f\u20e3', '1'],
    ['the skin of an emoji', '👍🏽', '👍'],
    ['a sign with no fixed columns', '\u3248', '?'],
  ])('%s', (_name, text, shown) => {
    expect(sureColumns(text)).toBe(shown);
  });
});

test('it is the same when done again', () => {
  fc.assert(
    fc.property(fc.string({ unit: 'grapheme', maxLength: 40 }), (text) => {
      expect(sureColumns(sureColumns(text))).toBe(sureColumns(text));
    }),
  );
});
