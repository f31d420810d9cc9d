import * as fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { Unwrap } from '../../../src/protocol/unwrap.ts';

describe('counting on beyond a wrap', () => {
  test('a counter that never jumps by half its span comes out whole', () => {
    const steps = fc.array(fc.integer({ min: 0, max: 2 ** 31 - 1 }), { maxLength: 50 });
    fc.assert(
      fc.property(fc.integer({ min: 0, max: 2 ** 32 - 1 }), steps, (first, forward) => {
        const clock = new Unwrap(32);
        let whole = first;
        expect(clock.take(first)).toBe(first);
        for (const step of forward) {
          whole += step;
          expect(clock.take(whole % 2 ** 32)).toBe(whole);
        }
        expect(clock.last).toBe(whole);
      }),
    );
  });

  test('a value slightly older than the last is no wrap, and does not turn the count back', () => {
    const clock = new Unwrap(32);
    clock.take(0xffff_fff0);
    expect(clock.take(0x10)).toBe(2 ** 32 + 0x10);
    expect(clock.take(0xffff_fffc)).toBe(2 ** 32 - 4);
    expect(clock.last).toBe(2 ** 32 + 0x10);
  });

  test('looking does not count', () => {
    const index = new Unwrap(16);
    index.take(65_535);
    expect(index.nearest(0)).toBe(65_536);
    expect(index.last).toBe(65_535);
  });

  test('begins anew when told', () => {
    const index = new Unwrap(16);
    index.take(65_535);
    index.restart();
    expect(index.last).toBeNull();
    expect(index.take(0)).toBe(0);
  });
});
