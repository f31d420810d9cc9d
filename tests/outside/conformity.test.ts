import { describe, expect, test } from 'vitest';
import { decide, probabilityInside } from '../../src/measure/judge/decide.ts';
import type { Limits, Reading } from '../../src/measure/types.ts';
import { manyDof, normalCdf, studentQuantile } from '../../src/statistics/distributions/distribution.ts';
import data from './data/conformity.json' with { type: 'json' };

function reading(value: number, u: number): Reading {
  return { quantity: 'resistance', value, u, dof: manyDof, state: 'in-range', rangeEnd: 1e9, parts: [] };
}

function upper(max: number): Limits {
  return { quantity: 'resistance', max };
}

describe('normal distribution', () => {
  test.each(data.normZP.pc_for_z)('has P(z <= %d) = %d', (z, pc) => {
    expect(normalCdf(z!)).toBeCloseTo(pc!, 11);
    expect(normalCdf(-z!)).toBeCloseTo(1 - pc!, 11);
  });

  test.each(Object.entries(data.normZP.z_for_pc))('has z for P = %s', (pc, z) => {
    expect(studentQuantile(Number(pc), manyDof)).toBeCloseTo(z, 10);
  });

  test('keeps its digits far out', () => {
    // 1 - Phi(6), Abramowitz and Stegun Table 26.2 prints 9.86588e-10
    expect(normalCdf(-6) / 9.865876450376946e-10).toBeCloseTo(1, 11);
  });
});

describe('probability of conformity, JCGM 106:2012, 7.3 and 7.4', () => {
  test.each(data.conformity.cases)('is $pc for $y +/- $u in $TL..$TU', ({ y, u, TL, TU, pc }) => {
    const limits: Limits = {
      quantity: 'resistance',
      ...(TL === null ? {} : { min: TL }),
      ...(TU === null ? {} : { max: TU }),
    };
    expect(probabilityInside(reading(y, u), limits)).toBeCloseTo(pc, 11);
    const decided = decide(reading(y, u), limits, { name: 'guarded', p: 0.975 });
    expect(decided.pInside).toBeCloseTo(pc, 11);
    expect(decided.outcome).toBe(pc >= 0.975 ? 'pass' : pc <= 0.025 ? 'fail' : 'borderline');
  });
});

describe('guarded acceptance, JCGM 106:2012, 8.3.2', () => {
  test.each(data.guardedUpper.rows)('accepts at P = %s up to %d', (pc, acceptance) => {
    const rule = { name: 'guarded', p: Number(pc) } as const;
    expect(decide(reading(Number(acceptance) - 1e-9, 1), upper(10), rule).outcome).toBe('pass');
    expect(decide(reading(Number(acceptance) + 1e-9, 1), upper(10), rule).outcome).toBe('borderline');
    // guarded rejection (8.3.3): the mirror image
    const rejection = 20 - Number(acceptance);
    expect(decide(reading(rejection - 1e-9, 1), upper(10), rule).outcome).toBe('borderline');
    expect(decide(reading(rejection + 1e-9, 1), upper(10), rule).outcome).toBe('fail');
  });
});

describe('ILAC-G8:09/2019, guard bands', () => {
  test.each(data.guardBands.rows)('rule %s', (_rule, r, falseAccept) => {
    // guard band w = r U with U = 2 u: at the acceptance limit the item is bad with this probability
    const atLimit = reading(10 - Number(r) * 2, 1);
    expect(1 - decide(atLimit, upper(10), { name: 'simple' }).pInside).toBeCloseTo(Number(falseAccept), 11);
    expect(decide(atLimit, upper(10), { name: 'simple' }).outcome).toBe('pass');
  });
});
