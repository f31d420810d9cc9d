import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { probabilityFilm } from '../../../src/checks/dry-normal/film.ts';
import { decideLevels } from '../../../src/checks/dry-normal/judge.ts';
import type { Limits, Reading, Rule } from '../../../src/measure/types.ts';

const rule: Rule = { name: 'guarded', p: 0.975 };
const limits: Limits = { quantity: 'resistance', max: 2 };
const end = 10e6;

function ohm(value: number, u = 0.01 + 0.01 * value, state: Reading['state'] = 'in-range'): Reading {
  return { quantity: 'resistance', value, u, dof: 50, state, rangeEnd: end, parts: [] };
}

const open = ohm(end, 1e4, 'above-range');
const outcome = (dry: Reading, normal: Reading, factor = 2) => decideLevels(dry, normal, limits, factor, rule).outcome;

describe('a touch at two levels', () => {
  test.each([
    ['pass', 'both are alike', ohm(0.3), ohm(0.3)],
    ['pass', 'both are near nothing', ohm(0.004), ohm(0.001)],
    ['fail', 'the dry one is far above', ohm(8), ohm(0.3)],
    ['fail', 'the dry one is within the limits, but a film', ohm(1.5), ohm(0.3)],
    ['fail', 'the dry one is open', open, ohm(0.3)],
    ['fail', 'the normal one is too high', ohm(30), ohm(25)],
    ['fail', 'both are open', open, open],
    ['borderline', 'the dry one lies at the factor and above the limit', ohm(2.6), ohm(1.3)],
    ['borderline', 'the normal one lies at the limit', ohm(2), ohm(2)],
    ['borderline', 'the dry one is not to be read', ohm(0, 1, 'unreadable'), ohm(0.3)],
    ['borderline', 'the normal one is not to be read', ohm(0.3), ohm(0, 1, 'unreadable')],
    ['borderline', 'the dry one is below zero', ohm(0, 0.01, 'below-range'), ohm(0.3)],
  ] as const)('is %s when %s', (expected, _, dry, normal) => {
    expect(outcome(dry, normal)).toBe(expected);
  });

  test('passes only with a normal reading that passes, and never with a dry one that can not be read', () => {
    const any = fc.record({
      value: fc.double({ min: -0.1, max: 1e3, noNaN: true }),
      u: fc.double({ min: 1e-4, max: 10, noNaN: true }),
      state: fc.constantFrom<Reading['state']>('in-range', 'unreadable', 'below-range'),
    });
    fc.assert(
      fc.property(any, any, (dry, normal) => {
        if (outcome(ohm(dry.value, dry.u, dry.state), ohm(normal.value, normal.u, normal.state)) !== 'pass') return;
        expect(dry.state).toBe('in-range');
        expect(normal.state).toBe('in-range');
        expect(normal.value).toBeLessThan(2);
      }),
    );
  });

  test('the probability of a film is that of a difference of two normal variables', () => {
    // dry 1.2 +/- 0.03, twice normal 2 x 0.5 +/- 2 x 0.02: 0.2 / 0.05 = 4 standard deviations
    const well = (value: number, u: number): Reading => ({ ...ohm(value, u), dof: 1e9 });
    expect(probabilityFilm(well(1.2, 0.03), well(0.5, 0.02), 2)).toBeCloseTo(0.999968, 6);
    expect(probabilityFilm(well(1, 0.03), well(0.5, 0.02), 2)).toBeCloseTo(0.5, 12);
  });
});
