// Half split against the published table, and the policy against exact dynamic programming.
import { describe, expect, test } from 'vitest';
import { randomOf } from '../../sim/random.ts';
import { believe } from '../../src/isolate/belief/belief.ts';
import { entropyBits, informationBits, weightsOf } from '../../src/isolate/next/information.ts';
import { openBench } from '../../src/isolate/next/next-check.ts';
import { type Bench, byRate, rankChecks } from '../../src/isolate/next/rank-checks.ts';
import { openModel } from '../../src/isolate/predict/model.ts';
import { leastMinutesOf, policyMinutes } from '../support/isolate/exact-policy.ts';
import { chainBench, smallBench } from '../support/isolate/small-bench.ts';
import { smallGuide } from '../support/isolate/small-guide.ts';
import data from './data/isolation-order.json' with { type: 'json' };

describe(data.halfSplit.source, () => {
  test.each(data.halfSplit.rows)('n = %i: worst %i, mean %f, entropy %f', (n, worst, mean, entropy) => {
    const bench = chainBench(n!);
    const weights = weightsOf(new Float64Array(n!).fill(1))!;
    const checks = n === 1 ? [] : Array.from({ length: n! - 1 }, (_, k) => k);
    const told = policyMinutes(bench, weights, null, checks);
    expect(told.worst).toBe(worst);
    expect(told.worst).toBeLessThanOrEqual(Math.ceil(Math.log2(n!)));
    expect(told.checks).toBeCloseTo(mean!, 9);
    expect(entropyBits(weights.p)).toBeCloseTo(entropy!, 5);
  });

  test('the first check of an even chain is in the middle, and is worth one bit', () => {
    const bench = chainBench(16);
    const weights = weightsOf(new Float64Array(16).fill(1))!;
    const [first] = rankChecks(bench, weights, null, [...Array(15).keys()]);
    expect(first).toMatchObject({ check: 7, minutes: 1 });
    expect(first!.bits).toBeCloseTo(1, 12);
  });

  test('unequal priors: the mean is their entropy where the chain allows it', () => {
    const { p, mean } = data.halfSplit.unequal;
    const told = policyMinutes(chainBench(4), weightsOf(p)!, null, [0, 1, 2]);
    expect(told.checks).toBeCloseTo(mean, 12);
  });
});

describe('against exact dynamic programming', () => {
  const random = randomOf(20261125, 'guides');
  /** Random checks of a random price on random suspects: each fails for a random half of them, rightly so nearly always. */
  const cases = Array.from({ length: 60 }, (_, at) => {
    const suspects = 4 + Math.floor(random.uniform() * 5);
    const checks = 4 + Math.floor(random.uniform() * 4);
    const table = Array.from({ length: checks }, () => {
      const fails = Array.from({ length: suspects }, () => (random.uniform() < 0.45 ? 0.99 : 0.01));
      return [fails, fails.map((q) => 1 - q)];
    });
    const minutes = table.map(() => 0.5 + 9 * random.uniform());
    const state = table.map(() => random.integer(0, 2));
    const prior = Array.from({ length: suspects }, () => 0.1 + random.uniform());
    return { at, table, minutes, state, prior };
  });

  test.each(cases)('case $at: minutes within 10 % of the least', ({ table, minutes, state, prior }) => {
    const weights = weightsOf(prior)!;
    const checks = table.map((_, check) => check);
    const plain = smallBench(table, minutes);
    // opening and switching: each check asks for one of three states, and changing takes six minutes
    const stateful: Bench<number> = {
      ...plain,
      minutes: (check, standing) => minutes[check]! + (state[check] === standing ? 0 : 6),
      after: (check) => state[check]!,
    };
    isNear(policyMinutes(plain, weights, null, checks).minutes, leastMinutesOf(plain, weights, null, checks));
    isNear(policyMinutes(stateful, weights, 0, checks).minutes, leastMinutesOf(stateful, weights, 0, checks));
  });

  function isNear(told: number, least: number): void {
    expect(told).toBeGreaterThanOrEqual(least - 1e-9);
    expect(told).toBeLessThanOrEqual(least * 1.1);
  }
});

describe('against exact dynamic programming, on small random guides', () => {
  const random = randomOf(424242, 'small guides');
  const guides = Array.from({ length: 12 }, (_, at) => ({ at, guide: smallGuide(random) }));

  test.each(guides)('guide $at: minutes within 10 % of the least', ({ guide }) => {
    const model = openModel(guide);
    const belief = believe(model, []);
    if (!('decisions' in belief)) throw new Error(belief.what);
    const { bench, weights } = openBench(model, belief);
    const checks = guide.checks.map((_, check) => check);
    const least = leastMinutesOf(bench, weights!, { power: 'off', access: null }, checks);
    const told = policyMinutes(bench, weights!, { power: 'off', access: null }, checks).minutes;
    expect(least).toBeGreaterThan(0);
    // suspects that hardly count are left out on the way, which makes a small difference
    expect(told).toBeGreaterThanOrEqual(least * 0.999);
    expect(told).toBeLessThanOrEqual(least * 1.1);
  });
});

describe('information', () => {
  test('is that of an independent sum over outcomes: H(D) less the expected H(D) after', () => {
    const random = randomOf(7, 'tables');
    const table = [0, 1, 2].map(() => {
      const rows = [0, 1, 2].map(() => Array.from({ length: 6 }, () => random.uniform() + 0.01));
      const totals = rows[0]!.map((_, s) => rows.reduce((sum, row) => sum + row[s]!, 0));
      return rows.map((row) => row.map((q, s) => q / totals[s]!));
    });
    const bench = smallBench(table, [1, 1, 1]);
    const prior = [0.3, 0.05, 0.2, 0.15, 0.1, 0.2];
    for (const check of [0, 1, 2]) {
      let expected = 0;
      for (const row of table[check]!) {
        const joint = row.map((q, s) => q * prior[s]!);
        const total = joint.reduce((a, b) => a + b, 0);
        expected += total * -joint.reduce((sum, q) => sum + (q / total) * Math.log2(q / total), 0);
      }
      const before = -prior.reduce((sum, q) => sum + q * Math.log2(q), 0);
      expect(informationBits(bench.outlook, check, weightsOf(prior)!)).toBeCloseTo(before - expected, 10);
    }
    expect(byRate(bench, weightsOf(prior)!, null, [0, 1, 2]).every(({ bits }) => bits >= 0.02)).toBe(true);
  });
});
