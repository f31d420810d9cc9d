import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { canonicalJson, isCanonicalJson } from '../../../src/record/chain/canonical.ts';

const isCanonical = (text: string): boolean => isCanonicalJson(JSON.parse(text), text);

describe('a text is canonical (RFC 8785)', () => {
  test('where it is what its value is printed as, whatever the value', () => {
    fc.assert(
      fc.property(fc.jsonValue(), (value) => {
        expect(isCanonical(canonicalJson(value))).toBe(true);
      }),
    );
  });

  test('and not in any other form that reads as the same value', () => {
    fc.assert(
      fc.property(fc.jsonValue(), (value) => {
        const plain = JSON.stringify(value);
        expect(isCanonical(plain)).toBe(plain === canonicalJson(value));
        expect(isCanonical(` ${plain}`)).toBe(false);
      }),
    );
  });

  test.each([
    '{"b":1,"a":2}',
    '[{"a":{"b":1,"a":2}}]',
    '{"a":1,"a":1}',
    '1.0',
    '-0',
    '1e1',
    '"\\u0041"',
    '"\\/"',
    // half of a surrogate pair has no canonical form, RFC 8785, 3.2.2.2
    '"\\ud800"',
    '{"\\udc00":1}',
  ])('not %s', (text) => expect(isCanonical(text)).toBe(false));

  test.each([
    '{"1":1,"10":2,"9":3}',
    '{"":1,"\\u0000":2}',
    '{"\ud83d\ude00":1,"\ufb33":2}',
    '{"__proto__":1}',
    '"\\\\ud800"',
  ])('%s is', (text) => expect(isCanonical(text)).toBe(true));
});
