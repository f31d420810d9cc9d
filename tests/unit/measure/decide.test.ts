import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { decide, guardedRule } from '../../../src/measure/judge/decide.ts';
import type { Limits, Reading } from '../../../src/measure/types.ts';
import { manyDof } from '../../../src/statistics/distributions/distribution.ts';
import { runs } from '../../support/runs.ts';

function reading(part: Partial<Reading> = {}): Reading {
  return {
    quantity: 'resistance',
    value: 1,
    u: 0.01,
    dof: manyDof,
    state: 'in-range',
    rangeEnd: 10e6,
    parts: [],
    ...part,
  };
}

const above = reading({ state: 'above-range', value: 10e6, u: 5e4 });

function ohm(limits: Omit<Limits, 'quantity'>): Limits {
  return { quantity: 'resistance', ...limits };
}

describe('an open', () => {
  test('fails a limit that the probe can measure, and says open', () => {
    const decided = decide(above, ohm({ max: 2 }), guardedRule);
    expect(decided.outcome).toBe('fail');
    expect(decided.why).toContain('open');
    expect(decide(above, ohm({ min: 1, max: 10e6 }), guardedRule).outcome).toBe('fail');
  });

  test('passes a lower limit up to the range end', () => {
    expect(decide(above, ohm({ min: 1e6 }), guardedRule).outcome).toBe('pass');
    expect(decide(above, ohm({ min: 10e6 }), guardedRule).outcome).toBe('pass');
  });

  test('is never a pass against a limit beyond the range end', () => {
    expect(decide(above, ohm({ min: 20e6 }), guardedRule).outcome).toBe('borderline');
    expect(decide(above, ohm({ max: 20e6 }), guardedRule).outcome).toBe('borderline');
    expect(decide(above, ohm({ min: 1, max: 20e6 }), guardedRule).outcome).toBe('borderline');
    expect(decide(above, ohm({ min: 20e6 }), { name: 'simple' }).outcome).toBe('borderline');
  });

  test('on a fixed low range says nothing about a limit above that range', () => {
    const low = reading({ state: 'above-range', value: 190, u: 1, rangeEnd: 190 });
    expect(decide(low, ohm({ min: 1e6 }), guardedRule).outcome).toBe('borderline');
    expect(decide(low, ohm({ max: 100 }), guardedRule).outcome).toBe('fail');
  });
});

describe('near and below zero', () => {
  test('a short that reads a little below zero passes', () => {
    expect(decide(reading({ value: -0.002, u: 0.003 }), ohm({ max: 2 }), guardedRule).outcome).toBe('pass');
  });

  test('a resistance below zero by more than its uncertainty is never decided', () => {
    const below = reading({ state: 'below-range', value: -5 });
    expect(decide(below, ohm({ max: 2 }), guardedRule)).toMatchObject({ outcome: 'borderline', pInside: 0 });
    expect(decide(below, ohm({ min: 1 }), guardedRule).outcome).toBe('borderline');
  });
});

describe('voltage', () => {
  const volt = (value: number, part: Partial<Reading> = {}): Reading =>
    reading({ quantity: 'voltage', value, u: 0.02, rangeEnd: 19.9, ...part });
  const battery: Limits = { quantity: 'voltage', min: 3.4, max: 4.2 };

  test('reversed fails, and says what may be wrong with the tips', () => {
    const decided = decide(volt(-3.7), battery, guardedRule);
    expect(decided.outcome).toBe('fail');
    expect(decided.why).toContain('polarity is reversed');
    expect(decide(volt(-1), battery, guardedRule).why).not.toContain('polarity');
  });

  test('beyond the range fails within it, on either side', () => {
    expect(decide(volt(19.9, { state: 'above-range' }), battery, guardedRule).outcome).toBe('fail');
    expect(decide(volt(-19.9, { state: 'below-range' }), battery, guardedRule).outcome).toBe('fail');
    expect(decide(volt(-19.9, { state: 'below-range' }), { quantity: 'voltage', max: 0.1 }, guardedRule).outcome).toBe(
      'pass',
    );
  });
});

describe('what nothing can be said about', () => {
  const cases: [string, Reading, Limits][] = [
    ['no reading', reading({ state: 'unreadable', value: 0, u: 10e6 }), ohm({ max: 2 })],
    ['no limit', reading(), ohm({})],
    ['limits that contradict each other', reading(), ohm({ min: 3, max: 2 })],
    ['limits that are no numbers', reading(), ohm({ max: Number.NaN })],
    ['limits of the other quantity', reading(), { quantity: 'voltage', max: 2 }],
    ['a value that is no number', reading({ value: Number.NaN }), ohm({ max: 2 })],
    ['an uncertainty that is no number', reading({ u: Number.NaN }), ohm({ max: 2 })],
    ['no degrees of freedom', reading({ dof: 0 }), ohm({ max: 2 })],
  ];
  test.each(cases)('%s is borderline under each rule, with a reason', (_, given, limits) => {
    for (const rule of [guardedRule, { name: 'simple' }, { name: 'guarded', p: 0 }] as const) {
      const decided = decide(given, limits, rule);
      expect(decided.outcome).toBe('borderline');
      expect(decided.pInside).toBe(0);
      expect(decided.why.length).toBeGreaterThan(10);
    }
  });
});

describe('the rule', () => {
  test('with few degrees of freedom asks for more room', () => {
    const limits = ohm({ max: 1.025 });
    expect(decide(reading(), limits, guardedRule).outcome).toBe('pass');
    expect(decide(reading({ dof: 2 }), limits, guardedRule).outcome).toBe('borderline');
  });

  test('simple goes by the estimate alone, both ends included', () => {
    expect(decide(reading({ u: 5 }), ohm({ max: 1 }), { name: 'simple' }).outcome).toBe('pass');
    expect(decide(reading({ value: 1.0001, u: 5 }), ohm({ max: 1 }), { name: 'simple' }).outcome).toBe('fail');
  });

  test('that is no number decides nothing', () => {
    expect(decide(reading(), ohm({ max: 100 }), { name: 'guarded', p: Number.NaN }).outcome).toBe('borderline');
  });

  test('without uncertainty is the estimate alone', () => {
    expect(decide(reading({ u: 0 }), ohm({ max: 1 }), guardedRule)).toMatchObject({ outcome: 'pass', pInside: 1 });
    expect(decide(reading({ u: 0, value: 1.1 }), ohm({ max: 1 }), guardedRule).outcome).toBe('fail');
  });
});

test('never passes what is more likely outside than inside, whatever the numbers', () => {
  const number = fc.oneof(fc.double({ noNaN: false }), fc.double({ min: -100, max: 100 }), fc.constantFrom(0, 1e7));
  fc.assert(
    fc.property(
      fc.constantFrom<Reading['state'][]>('in-range', 'above-range', 'below-range', 'unreadable'),
      number,
      number,
      fc.double({ min: 0.1, max: 1e6 }),
      fc.option(number, { nil: undefined }),
      fc.option(number, { nil: undefined }),
      fc.double({ min: 0, max: 1 }),
      (state, value, u, dof, min, max, p) => {
        const limits = ohm({ ...(min === undefined ? {} : { min }), ...(max === undefined ? {} : { max }) });
        const decided = decide(reading({ state, value, u, dof, rangeEnd: 10e6 }), limits, { name: 'guarded', p });
        expect(decided.pInside).toBeGreaterThanOrEqual(0);
        expect(decided.pInside).toBeLessThanOrEqual(1);
        if (decided.outcome === 'pass') expect(decided.pInside).toBeGreaterThanOrEqual(0.5);
        if (decided.outcome === 'fail') expect(decided.pInside).toBeLessThanOrEqual(0.5);
      },
    ),
    { numRuns: runs(2000) },
  );
});
