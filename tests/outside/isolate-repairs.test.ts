// The order of repairs against the published rule, its worked table, and every permutation.
import { describe, expect, test } from 'vitest';
import { randomOf } from '../../sim/random.ts';
import { type Ailment, expectedCost, type OrderedRepair, repairOrder } from '../../src/isolate/repair/repair-order.ts';
import data from './data/isolation-order.json' with { type: 'json' };

const { p, c, bestOrders1based, bestCost, byProbabilityOnly, byCostOnly, worst, source } = data.pOverC;

/** One fault, each repair mends its own and always. */
const perfect = (shares: readonly number[], costs: readonly number[]): [Ailment[], OrderedRepair[]] => [
  shares.map((share, r) => ({ share, whole: [r], parts: [] })),
  costs.map((cost) => ({ cost, success: 1 })),
];

describe(source, () => {
  const [ailments, repairs] = perfect(p, c);
  const cost1based = (order: readonly number[]): number =>
    expectedCost(
      ailments,
      repairs,
      order.map((r) => r - 1),
    );

  test('the order is one of the two best, at the least cost', () => {
    const order = repairOrder(ailments, repairs);
    expect(bestOrders1based).toContainEqual(order.map((r) => r + 1));
    expect(expectedCost(ailments, repairs, order)).toBeCloseTo(bestCost, 12);
  });

  test('orders by probability only, by cost only, and the worst cost what the table says', () => {
    for (const { order, cost } of [byProbabilityOnly, byCostOnly, worst])
      expect(cost1based(order)).toBeCloseTo(cost, 12);
    const costs = permutations([1, 2, 3, 4]).map(cost1based);
    expect(Math.min(...costs)).toBeCloseTo(bestCost, 12);
    expect(Math.max(...costs)).toBeCloseTo(worst.cost, 12);
  });
});

describe('against every permutation', () => {
  const random = randomOf(11, 'repairs');
  const draw = Array.from({ length: 80 }, (_, at) => ({
    at,
    shares: normal(Array.from({ length: 5 }, () => random.uniform() + 0.02)),
    costs: Array.from({ length: 5 }, () => (random.uniform() < 0.15 ? 0 : random.uniform() * 40)),
    success: Array.from({ length: 5 }, () => 0.5 + random.uniform() / 2),
    overlap: Array.from({ length: 5 }, () => Array.from({ length: 5 }, () => random.uniform() < 0.35)),
    doubled: Array.from({ length: 5 }, () => random.uniform() < 0.2),
  }));
  const all = permutations([0, 1, 2, 3, 4]);

  test.each(draw)('repairs that share nothing, case $at: falling p over c', ({ shares, costs }) => {
    const [ailments, repairs] = perfect(shares, costs);
    const order = repairOrder(ailments, repairs);
    const least = Math.min(...all.map((one) => bruteCost(shares, costs, one)));
    expect(bruteCost(shares, costs, order)).toBeCloseTo(least, 9);
    for (let k = 1; k < order.length; k++) {
      const [a, b] = [order[k - 1]!, order[k]!];
      expect(shares[a]! * costs[b]!).toBeGreaterThanOrEqual(shares[b]! * costs[a]! - 1e-9);
    }
  });

  test.each(draw)('repairs that overlap and may fail, case $at', ({ shares, costs, success, overlap, doubled }) => {
    const ailments = shares.map((share, s): Ailment => {
      const those = overlap[s]!.flatMap((on, r) => (on || r === s ? [r] : []));
      return doubled[s] === true
        ? { share, whole: [], parts: [those, [(s + 1) % 5]] }
        : { share, whole: those, parts: [] };
    });
    const repairs = costs.map((cost, r) => ({ cost, success: success[r]! }));
    const least = Math.min(...all.map((order) => expectedCost(ailments, repairs, order)));
    expect(expectedCost(ailments, repairs, repairOrder(ailments, repairs))).toBeCloseTo(least, 9);
  });
});

/** The formula of the theorem, written out: sum over i of (1 - sum of the p before it) c_i. */
function bruteCost(shares: readonly number[], costs: readonly number[], order: readonly number[]): number {
  let reached = 1;
  let cost = 0;
  for (const r of order) {
    cost += reached * costs[r]!;
    reached -= shares[r]!;
  }
  return cost;
}

function normal(numbers: number[]): number[] {
  const total = numbers.reduce((a, b) => a + b, 0);
  return numbers.map((x) => x / total);
}

function permutations<T>(items: readonly T[]): T[][] {
  if (items.length === 0) return [[]];
  return items.flatMap((item, k) =>
    permutations([...items.slice(0, k), ...items.slice(k + 1)]).map((rest) => [item, ...rest]),
  );
}
