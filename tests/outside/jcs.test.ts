import { createHash } from 'node:crypto';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { canonicalJson } from '../../src/record/chain/canonical.ts';
import data from './data/jcs.json' with { type: 'json' };

const view = new DataView(new ArrayBuffer(8));

function doubleOf(hex: string): number {
  view.setBigUint64(0, BigInt(`0x${hex}`));
  return view.getFloat64(0);
}

function hexOf(number: number): string {
  view.setFloat64(0, number);
  return view.getBigUint64(0).toString(16);
}

/** The published sequence of numbers: hand-picked ones, consecutive bit patterns, then a SHA-256 chain read as doubles. */
function* publishedNumbers(): Generator<number> {
  const { staticHex, serialFrom, serialCount } = data.generatedFile;
  for (const hex of staticHex) yield doubleOf(hex);
  const from = BigInt(`0x${serialFrom}`);
  for (let i = 0; i < serialCount; i += 1) yield doubleOf((from + BigInt(i)).toString(16));
  for (let block = Buffer.alloc(32); ; ) {
    block = createHash('sha256').update(block).digest();
    for (let at = 0; at < block.length; at += 8) {
      const number = block.readDoubleLE(at);
      if (number !== 0 && Number.isFinite(number)) yield number;
    }
  }
}

// Source: RFC 8785, the test data published by its author, and appendix B; see data/jcs.json.
describe('canonical JSON against RFC 8785', () => {
  test.each(data.cases)('gives the published bytes of $name', ({ input, bytes, sha256, ...rest }) => {
    const output = Buffer.from(canonicalJson(JSON.parse(input)));
    if ('outputHex' in rest) expect(output.toString('hex')).toBe(rest.outputHex);
    expect(output.length).toBe(bytes);
    expect(createHash('sha256').update(output).digest('hex')).toBe(sha256);
  });

  test.each(Object.entries(data.numbers))('writes the double %s as %s', (hex, text) => {
    expect(canonicalJson(doubleOf(hex))).toBe(text);
    expect(canonicalJson({ each: [doubleOf(hex)] })).toBe(`{"each":[${text}]}`);
  });

  test.each(data.mustThrow)('refuses the double %s', (hex) => {
    expect(() => canonicalJson({ number: doubleOf(hex) })).toThrow();
  });

  test('refuses half of a surrogate pair (section 3.2.2.2)', () => {
    expect(() => canonicalJson('\ud83d')).toThrow();
    expect(() => canonicalJson({ '\ude02': 1 })).toThrow();
  });

  test.each(Object.entries(data.generatedFile.sha256OfFirstLines))(
    'writes the first %s lines of the published number file',
    (count, sha256) => {
      const hash = createHash('sha256');
      let bytes = 0;
      let lines = 0;
      for (const number of publishedNumbers()) {
        const line = `${hexOf(number)},${canonicalJson(number)}\n`;
        hash.update(line);
        bytes += line.length;
        lines += 1;
        if (lines === Number(count)) break;
      }
      expect(bytes).toBe(data.generatedFile.bytesOfFirstLines[count as '1000' | '10000']);
      expect(hash.digest('hex')).toBe(sha256);
    },
  );

  test('is the same for the same value whatever the order of its members, and parses back to it', () => {
    fc.assert(
      fc.property(fc.jsonValue(), (value) => {
        const text = canonicalJson(value);
        const back: unknown = JSON.parse(text);
        expect(canonicalJson(back)).toBe(text);
        expect(canonicalJson(reversed(back))).toBe(text);
        expect(JSON.stringify(back)).toHaveLength(text.length);
      }),
    );
  });
});

function reversed(value: unknown): unknown {
  if (Array.isArray(value)) return value.map(reversed);
  if (value === null || typeof value !== 'object') return value;
  return Object.fromEntries(
    Object.entries(value)
      .reverse()
      .map(([key, each]) => [key, reversed(each)]),
  );
}
