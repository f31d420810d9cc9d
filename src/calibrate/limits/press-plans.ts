import { planTrouble, type SprtPlan, sprtBad } from '../../statistics/sprt.ts';

/**
 * What a way of testing does with a key whose share of bad presses is `p`. The three chances add up
 * to 1.
 */
export interface Characteristic {
  p: number;
  accept: number;
  reject: number;
  /** The cap came before a decision: never a pass. */
  undecided: number;
  /** Mean number of presses. */
  presses: number;
}

/**
 * Returns the operating characteristic of a sequential test that ends after `cap` presses at the
 * latest: exactly, by following the probability of every count of bad presses (not Wald's
 * approximations, which leave the overshoot and the cap out). NaN for a plan that makes no sense.
 */
export function sequentialCharacteristic(p: number, plan: SprtPlan, cap: number): Characteristic {
  if (planTrouble(plan) !== null || !(p >= 0 && p <= 1)) {
    return { p, accept: Number.NaN, reject: Number.NaN, undecided: Number.NaN, presses: Number.NaN };
  }
  let open = [1];
  let accept = 0;
  let reject = 0;
  let presses = 0;
  for (let n = 1; n <= cap; n++) {
    presses += sum(open);
    const next = new Array<number>(open.length + 1).fill(0);
    open.forEach((chance, bad) => {
      next[bad]! += chance * (1 - p);
      next[bad + 1]! += chance * p;
    });
    open = next.map((chance, bad) => {
      if (chance === 0) return 0;
      const decision = sprtBad(n - bad, bad, plan);
      if (decision === 'accept') accept += chance;
      if (decision === 'reject') reject += chance;
      return decision === 'continue' ? chance : 0;
    });
    while (open.length > 1 && open.at(-1) === 0) open.pop();
  }
  return { p, accept, reject, undecided: sum(open), presses };
}

/**
 * Returns the operating characteristic of a run of `count` presses of which `maxBad` may be bad, as
 * press checks do it: P(accept) is the binomial distribution function (any textbook). All presses
 * are made, for a record of them all says more than an early end saves.
 */
export function fixedCharacteristic(p: number, count: number, maxBad: number): Characteristic {
  let open = new Array<number>(maxBad + 1).fill(0);
  open[0] = 1;
  let reject = 0;
  for (let n = 1; n <= count; n++) {
    reject += open[maxBad]! * p;
    open = open.map((chance, bad) => chance * (1 - p) + (bad > 0 ? open[bad - 1]! * p : 0));
  }
  return { p, accept: sum(open), reject, undecided: 0, presses: count };
}

/**
 * Returns the most presses that a sequential test can go on for with a share of `p`, but for a
 * chance below `rest`; `limit` at most.
 */
export function pressesThatSuffice(p: number, plan: SprtPlan, rest: number, limit: number): number {
  let low = 1;
  let high = limit;
  if (!(sequentialCharacteristic(p, plan, limit).undecided <= rest)) return limit;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (sequentialCharacteristic(p, plan, middle).undecided <= rest) high = middle;
    else low = middle + 1;
  }
  return low;
}

function sum(values: readonly number[]): number {
  return values.reduce((total, value) => total + value, 0);
}
