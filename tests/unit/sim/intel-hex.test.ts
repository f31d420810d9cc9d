import { readFileSync } from 'node:fs';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { parseIntelHex } from '../../../sim/machine/intel-hex.ts';
import { committedImagePath, loadImage } from '../../../sim/probe/image.ts';

const end = ':00000001FF';

describe('Intel HEX', () => {
  test('data, from the format description (Intel, Hexadecimal Object File Format Specification, rev. A, 1988): record layout and checksum', () => {
    // 16 bytes at 0x0100: the usual example record
    const words = parseIntelHex(`:10010000214601360121470136007EFE09D2190140\n${end}\n`);
    expect(words[0x80]).toBe(0x4621);
    expect(words[0x87]).toBe(0x0119);
    expect(words[0]).toBe(0xffff);
  });

  test.each([
    ['a wrong digit', `:10010000214601360121470136007EFE09D2190141\n${end}`, 'line 1: wrong checksum'],
    ['a short record', `:1001000021460136\n${end}`, 'line 1: says 16 bytes but holds 3'],
    ['no end', ':10010000214601360121470136007EFE09D2190140', 'the end record is missing'],
    ['another file', 'hello', 'line 1: not a record'],
    ['too far', `:020000040001F9\n:10010000214601360121470136007EFE09D2190140\n${end}`, 'line 2: lies beyond'],
  ])('%s is refused with its line', (_what, text, message) => {
    expect(() => parseIntelHex(text)).toThrow(message);
  });

  test('any one changed digit of the committed image is noticed', () => {
    const text = readFileSync(committedImagePath(), 'latin1');
    const digits = [...text.matchAll(/[0-9A-F]/g)].map((match) => match.index);
    fc.assert(
      fc.property(fc.nat({ max: digits.length - 1 }), fc.integer({ min: 1, max: 15 }), (at, add) => {
        const index = digits[at]!;
        const digit = ((Number.parseInt(text[index]!, 16) + add) & 15).toString(16).toUpperCase();
        const changed = text.slice(0, index) + digit + text.slice(index + 1);
        expect(() => parseIntelHex(changed)).toThrow(
          expect.objectContaining({ code: 'sim.image', message: expect.stringMatching(/line \d+: /) }),
        );
      }),
      { numRuns: 200, seed: 3 },
    );
  });

  test('a missing file is one sentence', () => {
    expect(() => loadImage('no-such.hex')).toThrow(
      expect.objectContaining({ code: 'sim.image', message: expect.stringContaining('no-such.hex') }),
    );
  });
});
