/** A repair as its place in an order depends on it. */
export interface OrderedRepair {
  /** What it costs to try, in one currency; 0 or more. */
  cost: number;
  /** Chance that it mends what it fixes, 0..1. */
  success: number;
}

/** What may be wrong, and which repairs (by index) mend it. */
export interface Ailment {
  share: number;
  /** Repairs that mend all of it. */
  whole: number[];
  /**
   * Of two faults at once: for each, the repairs that mend that one only; empty for a single fault.
   */
  parts: number[][];
}

/**
 * Up to so many repairs the best order is found exactly (over all subsets), beyond it by
 * probability over cost, step by step.
 */
const mostExact = 12;

/**
 * Returns the order of repairs with the least expected cost, each tried and tested before the next,
 * as indices.
 *
 * With one fault and repairs that mend different ailments this is falling probability over cost
 * (Kadane and Simon 1977; Heckerman, Breese and Rommelse, CACM 38(3) 1995). Repairs of a guide
 * overlap (cleaning and a new board mend the same contact), which that rule does not cover: what is
 * left after a set of repairs doesn't depend on their order, so the least cost is found over sets.
 * Ties keep falling probability over cost, then the order given.
 *
 * @param begun repairs that come first, in this order
 */
export function repairOrder(
  ailments: readonly Ailment[],
  repairs: readonly OrderedRepair[],
  begun: readonly number[] = [],
): number[] {
  const greedy = byProbabilityOverCost(ailments, repairs, begun);
  return repairs.length > mostExact ? greedy : exactOrder(ailments, repairs, begun, greedy);
}

/** One repair at its place in an order. */
export interface OrderStep {
  repair: number;
  /** Probability of getting to it: none before it mended the device. */
  reached: number;
  /** Probability that it is the one that mends the device. */
  p: number;
}

/** Returns the steps of an order with their probabilities. */
export function stepsOf(
  ailments: readonly Ailment[],
  repairs: readonly OrderedRepair[],
  order: readonly number[],
): OrderStep[] {
  const tried = new Set<number>();
  let reached = leftAfter(ailments, repairs, tried);
  return order.map((repair) => {
    tried.add(repair);
    const left = leftAfter(ailments, repairs, tried);
    const step = { repair, reached, p: Math.min(1, Math.max(0, reached - left)) };
    reached = left;
    return step;
  });
}

/**
 * Returns what trying repairs in this order is expected to cost: a step is paid for when none
 * before it mended the device.
 */
export function expectedCost(
  ailments: readonly Ailment[],
  repairs: readonly OrderedRepair[],
  order: readonly number[],
): number {
  return stepsOf(ailments, repairs, order).reduce(
    (sum, { repair, reached }) => sum + repairs[repair]!.cost * reached,
    0,
  );
}

/** Returns the probability that the device still fails after these repairs, in whatever order. */
export function leftAfter(
  ailments: readonly Ailment[],
  repairs: readonly OrderedRepair[],
  tried: ReadonlySet<number>,
): number {
  const failed = (those: readonly number[]): number =>
    those.reduce((p, r) => (tried.has(r) ? p * (1 - repairs[r]!.success) : p), 1);
  return ailments.reduce((sum, { share, whole, parts }) => {
    const someLeft = parts.length === 0 ? 1 : 1 - parts.reduce((p, part) => p * (1 - failed(part)), 1);
    return sum + share * failed(whole) * someLeft;
  }, 0);
}

function byProbabilityOverCost(
  ailments: readonly Ailment[],
  repairs: readonly OrderedRepair[],
  begun: readonly number[],
): number[] {
  const order = [...begun];
  const rest = repairs.map((_, r) => r).filter((r) => !begun.includes(r));
  while (rest.length > 0) {
    const reached = leftAfter(ailments, repairs, new Set(order));
    const mended = rest.map((r) => reached - leftAfter(ailments, repairs, new Set([...order, r])));
    let best = 0;
    for (let k = 1; k < rest.length; k++) {
      const [a, b] = [repairs[rest[k]!]!, repairs[rest[best]!]!];
      // compared crosswise, so that a repair that costs nothing needs no division: of two free ones
      // the likelier is better
      const isBetter =
        a.cost === 0 && b.cost === 0
          ? mended[k]! > mended[best]!
          : mended[k]! * b.cost > mended[best]! * a.cost * (1 + 1e-12);
      if (isBetter) best = k;
    }
    order.push(rest.splice(best, 1)[0]!);
  }
  return order;
}

function exactOrder(
  ailments: readonly Ailment[],
  repairs: readonly OrderedRepair[],
  begun: readonly number[],
  preferred: readonly number[],
): number[] {
  const sets = 1 << repairs.length;
  const least = new Float64Array(sets);
  const first = new Int32Array(sets).fill(-1);
  for (let set = sets - 2; set >= 0; set--) {
    const reached = leftAfter(ailments, repairs, new Set(preferred.filter((r) => (set >> r) & 1)));
    least[set] = Number.POSITIVE_INFINITY;
    for (const r of preferred) {
      if ((set >> r) & 1) continue;
      const cost = repairs[r]!.cost * reached + least[set | (1 << r)]!;
      if (cost < least[set]! - 1e-12 * (1 + cost)) {
        least[set] = cost;
        first[set] = r;
      }
    }
  }
  const order = [...begun];
  let set = begun.reduce((bits, r) => bits | (1 << r), 0);
  while (first[set]! >= 0) {
    order.push(first[set]!);
    set |= 1 << first[set]!;
  }
  return order;
}
