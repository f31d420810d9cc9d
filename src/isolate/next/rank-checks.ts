import { branches, decisionShares, entropyBits, informationBits, type Outlook, type Weights } from './information.ts';

/** A check that tells less than this about the decision is not worth its time, in bits. */
export const leastBits = 0.02;

/** What a choice is made under. `S` is how the bench stands: whatever the minutes depend on. */
export interface Bench<S> {
  outlook: Outlook;
  /** Minutes of a check as the bench stands, changes of power and disassembly included. */
  minutes(check: number, standing: S): number;
  /** How the bench stands after a check. */
  after(check: number): S;
  /**
   * What a check tells of all suspects, where there is a shorter way to it than `informationBits`.
   */
  bits?(check: number): number;
  /** Isolation stops when one decision is this probable. */
  confidence: number;
}

export interface Ranked {
  check: number;
  bits: number;
  minutes: number;
}

/** So many of the checks with the most bits per minute are looked at further ahead. */
const lookedAt = 8;
/** Checks that may come later, while looking ahead. */
const reckonedWith = 24;
/** For so many checks further on, the best few are compared again, if the work allows. */
const comparedDepth = 1;
const comparedLater = 4;
/** Work that looking ahead may take, in multiplications: about a hundredth of a second. */
const workBudget = 1e6;
/** Branches that are less probable than this are not followed further, but estimated. */
const leastReach = 0.0003;
/** Classes of outcome that a check usually has, for reckoning work. */
const usualClasses = 4;
/** Keeps a check that takes no time comparable. */
const leastMinutes = 0.05;

/**
 * Returns the checks that are worth doing, best first.
 *
 * First by information per minute. Where few suspects and checks are left, the best are then
 * compared by what isolating will take in all, minutes expected, if that check comes first and the
 * rest by information per minute (a rollout of the myopic rule), so that opening the device once
 * for several checks pays. A look ahead that would take too much work is dropped as a whole: a half
 * one compares estimates of unequal depth, and does worse than none.
 *
 * @param open checks that may be proposed
 */
export function rankChecks<S>(bench: Bench<S>, weights: Weights, standing: S, open: readonly number[]): Ranked[] {
  const { bits = (check) => informationBits(bench.outlook, check, weights) } = bench;
  const all = open.map((check) => ({ check, bits: bits(check), minutes: bench.minutes(check, standing) }));
  const ranked = bestFirst(all);
  if (ranked.length < 2 || decisionShares(bench.outlook, weights).some((p) => p >= bench.confidence)) return ranked;
  const front = ranked.slice(0, lookedAt);
  const later = [...all].sort((a, b) => b.bits - a.bits).slice(0, reckonedWith);
  const reckoned = [...new Set([...front, ...later].map(({ check }) => check))];
  const budget = { work: workBudget, isSpent: false };
  const best = front.map((one) => ({
    one,
    total: minutesAfter(bench, weights, one, reckoned, budget, 1, comparedDepth),
  }));
  if (budget.isSpent) return ranked;
  // equal within rounding: the myopic order stands
  best.sort((a, b) => (Math.abs(a.total - b.total) <= 1e-9 * (a.total + b.total) ? 0 : a.total - b.total));
  return [...best.map(({ one }) => one), ...ranked.slice(lookedAt)];
}

/**
 * Returns the checks worth doing by information per minute, best first; the same rate: more
 * information first.
 */
export function byRate<S>(bench: Bench<S>, weights: Weights, standing: S, open: readonly number[]): Ranked[] {
  return bestFirst(
    open.map((check) => ({
      check,
      bits: informationBits(bench.outlook, check, weights),
      minutes: bench.minutes(check, standing),
    })),
  );
}

/** What differs by less than rounding is the same: the guide's order stands, on every machine. */
function bestFirst(all: readonly Ranked[]): Ranked[] {
  return all
    .filter(({ bits }) => bits >= leastBits)
    .sort((a, b) => rounded(rate(b)) - rounded(rate(a)) || rounded(b.bits) - rounded(a.bits));
}

function rounded(bits: number): number {
  return Math.round(1e12 * bits);
}

function rate({ bits, minutes }: Ranked): number {
  return bits / Math.max(leastMinutes, minutes);
}

/** Returns the expected minutes from here to the end when this check comes first. */
function minutesAfter<S>(
  bench: Bench<S>,
  weights: Weights,
  first: Ranked,
  open: readonly number[],
  budget: { work: number; isSpent: boolean },
  reach: number,
  depth: number,
): number {
  const standing = bench.after(first.check);
  const rest = open.filter((check) => check !== first.check);
  // what is not followed further goes on at this check's rate, with the device switched and open as
  // it is after it
  const minutesPerBit = Math.max(leastMinutes, bench.minutes(first.check, standing)) / first.bits;
  let minutes = first.minutes;
  for (const { p, after } of branches(bench.outlook, first.check, weights)) {
    // what is dropped as a whole needs no sum
    if (budget.isSpent) return minutes;
    if (after === null) continue;
    const shares = decisionShares(bench.outlook, after);
    if (shares.some((share) => share >= bench.confidence)) continue;
    const work = after.index.length * rest.length * usualClasses;
    if (work > budget.work) budget.isSpent = true;
    if (budget.isSpent) return minutes;
    if (p * reach < leastReach) {
      minutes += p * entropyBits(shares) * minutesPerBit;
      continue;
    }
    budget.work -= work;
    const ranked = byRate(bench, after, standing, rest);
    if (ranked.length === 0) continue;
    const compared = ranked.slice(0, depth > 0 ? comparedLater : 1);
    const least = compared.map((next) => minutesAfter(bench, after, next, rest, budget, reach * p, depth - 1));
    minutes += p * Math.min(...least);
  }
  return minutes;
}
