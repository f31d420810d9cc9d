import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { OhmwrightError } from '../../../src/errors/ohmwright-error.ts';
import { printable } from '../../../src/errors/printable.ts';

describe('a printable text', () => {
  test.each([
    ['an escape sequence', '\u001b[2Jx', '\\u001b[2Jx'],
    ['a single control of eight bits', '\u009b31mx', '\\u009b31mx'],
    ['a line break', 'T1\nresult: passed', 'T1\\u000aresult: passed'],
    ['a return to the begin of the line', 'bad\rgood', 'bad\\u000dgood'],
    ['a separator of lines', 'a\u2028b', 'a\\u2028b'],
    ['a mark that turns the direction', 'a\u202eb', 'a\\u202eb'],
    ['an isolate', '\u2066a\u2069', '\\u2066a\\u2069'],
    ['half of a pair', 'a\ud800', 'a\\ud800'],
    ['letters of any script', 'Größe 値 שלום', 'Größe 値 שלום'],
  ])('shows %s', (_what, given, shown) => {
    expect(printable(given)).toBe(shown);
  });

  test('has nothing that a terminal obeys, whatever it was made of', () => {
    fc.assert(
      fc.property(fc.string({ unit: 'binary' }), (text) => {
        expect(printable(text)).not.toMatch(/[\p{Cc}\p{Zl}\p{Zp}\p{Bidi_Control}]/u);
      }),
    );
  });

  test('leaves JSON of the same meaning (RFC 8259, section 7)', () => {
    fc.assert(
      fc.property(fc.jsonValue(), fc.string({ unit: 'binary' }), (value, text) => {
        const json = JSON.stringify({ value, text });
        expect(JSON.parse(printable(json))).toEqual(JSON.parse(json));
      }),
    );
  });
});

test('a line of an error begins no line of its own, unless the program itself began it', () => {
  const error = new OhmwrightError('guide.invalid', ['one\nresult: passed', 'two'], { help: 'a\u001b[1mb' });
  expect(error.message).toBe('one\\u000aresult: passed\ntwo');
  expect(error.help).toBe('a\\u001b[1mb');
});
