import type { Fault, Guide, Repair } from '../../guide/types.ts';
import type { IsolationRules } from '../rules/isolation-rules.ts';
import { currentIsolationRules } from '../rules/rules.ts';
import type { Belief, Repaired, RepairPlan } from '../types.ts';
import { type Ailment, leftAfter, repairOrder, stepsOf } from './repair-order.ts';
import { chanceAfter, triesOf } from './repair-tries.ts';

/** The plan of a device that needs no repair. */
export const noRepairs: RepairPlan = { steps: [], expectedPrice: 0, expectedMinutes: 0, left: 0, usual: null };

/**
 * Returns the repairs to try, each tested before the next, in the order of least expected cost:
 * price and a minute's price for its minutes.
 *
 * All its probabilities are on the condition that something is wrong; with 'nothing is wrong'
 * believed at the guide's confidence the plan is empty. A repair that was tried before and has not
 * helped counts with what chance that leaves it. The plan that begins with the guide's usual repair
 * goes on in its own best order. Repairs are taken to succeed or not independently of each other;
 * of two faults at once the device is mended when both are.
 */
export function planRepairs(
  { guide: asWritten, rules = currentIsolationRules }: { guide: Guide; rules?: IsolationRules },
  belief: Pick<Belief, 'suspects' | 'repaired'>,
): RepairPlan {
  const { minutePrice, leastShare } = rules.repairs;
  const guide = { ...asWritten, repairs: asWritten.repairs.map((one) => asTried(one, belief.repaired ?? [], rules)) };
  const faulty = belief.suspects.filter(({ faults }) => faults.length > 0);
  const total = faulty.reduce((sum, { p }) => sum + p, 0);
  const usual = guide.repairs.find(({ id }) => id === guide.usual) ?? null;
  if (!(total > 1 - guide.confidence)) {
    return { ...noRepairs, usual: usual && planned(usual, 0, 0) };
  }
  const shares = faulty.map(({ faults, p }) => ({ faults, share: p / total }));
  const repairs = guide.repairs.filter((repair) => repair === usual || chance(repair, shares) >= leastShare);
  const ailments = ailmentsOf(repairs, shares);
  const costed = repairs.map(({ price, minutes, success }) => ({ cost: price + minutes * minutePrice, success }));
  const useful = (order: number[]): number[] => {
    const kept = new Set(order);
    for (const { repair, p } of stepsOf(ailments, costed, order)) {
      const without = new Set([...kept].filter((r) => r !== repair));
      const changes = leftAfter(ailments, costed, without) - leftAfter(ailments, costed, kept);
      if (p < leastShare && changes < leastShare) kept.delete(repair);
    }
    return order.filter((r) => kept.has(r));
  };
  const costs = (order: readonly number[]) => {
    const steps = stepsOf(ailments, costed, order);
    const sum = (of: (repair: Repair) => number): number =>
      steps.reduce((expected, { repair, reached }) => expected + reached * of(repairs[repair]!), 0);
    return { steps, expectedPrice: sum((r) => r.price), expectedMinutes: sum((r) => r.minutes) };
  };
  const best = costs(useful(repairOrder(ailments, costed)));
  const steps = best.steps.map(({ repair, p }) => {
    const { id, name, price, minutes } = repairs[repair]!;
    const fixes = faulty.filter(({ faults }) => faults.some((fault) => mends(repairs[repair]!, fault)));
    return { repair: id, name, p, price, minutes, fixes: fixes.map((suspect) => suspect.id) };
  });
  const left = steps.reduce((rest, { p }) => rest - p, 1);
  const { expectedPrice, expectedMinutes } = best;
  return { steps, expectedPrice, expectedMinutes, left: Math.max(0, left), usual: usual && usualPlan(usual) };

  function usualPlan(first: Repair) {
    const at = repairs.indexOf(first);
    const order = repairOrder(ailments, costed, [at]);
    const kept = new Set([at, ...useful(order)]);
    const plan = costs(order.filter((r) => kept.has(r)));
    return planned(first, plan.expectedPrice, plan.expectedMinutes);
  }
}

function asTried(repair: Repair, repaired: readonly Repaired[], rules: IsolationRules): Repair {
  return { ...repair, success: chanceAfter(repair, triesOf(repair.id, repaired), rules) };
}

/**
 * Returns whether a repair is one for this fault: it names the link, and its way of failing or all
 * of them.
 */
export function mends(repair: Repair, fault: Fault): boolean {
  return repair.fixes.some(({ link, mode }) => link === fault.link && (mode === null || mode === fault.mode));
}

interface Share {
  faults: Fault[];
  share: number;
}

/** Returns how often a repair has a part in mending the device. */
function chance(repair: Repair, shares: readonly Share[]): number {
  const share = shares.reduce((sum, one) => (one.faults.some((f) => mends(repair, f)) ? sum + one.share : sum), 0);
  return repair.success * share;
}

/** Suspects that the same repairs mend are one ailment. */
function ailmentsOf(repairs: readonly Repair[], shares: readonly Share[]): Ailment[] {
  const byRepairs = new Map<string, Ailment>();
  for (const { faults, share } of shares) {
    const each = faults.map((fault) => repairs.flatMap((repair, r) => (mends(repair, fault) ? [r] : [])));
    const whole = each[0]!.filter((r) => each.every((those) => those.includes(r)));
    const parts = each.length === 1 ? [] : each.map((those) => those.filter((r) => !whole.includes(r)));
    const key = JSON.stringify([whole, parts]);
    const known = byRepairs.get(key);
    if (known === undefined) byRepairs.set(key, { share, whole, parts });
    else known.share += share;
  }
  return [...byRepairs.values()];
}

function planned({ id, name }: Repair, expectedPrice: number, expectedMinutes: number) {
  return { repair: id, name, expectedPrice, expectedMinutes };
}
