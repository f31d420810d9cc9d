import type { Check, Guide } from '../../guide/types.ts';
import { decisionWords } from '../belief/evidence-words.ts';
import type { Model } from '../predict/model.ts';
import type { Belief, DecisionOption, Proposal, Situation } from '../types.ts';
import { beforeVerdict } from './before-verdict.ts';
import { bitsOfAll } from './bits-of-all.ts';
import { accessMinutes, checkMinutes, type Standing, standingAfter } from './check-minutes.ts';
import { branches, decisionShares, type Weights, weightsOf } from './information.ts';
import { type NamedOutlook, openOutlook } from './outlook.ts';
import { type Bench, type Ranked, rankChecks } from './rank-checks.ts';

/**
 * Returns the check to do next; null when one decision is probable enough after some check, or no
 * check left is worth its time.
 */
export function nextCheck(model: Model, belief: Belief, situation: Situation): Proposal | null {
  if (isSettled(model, belief)) return beforeVerdict(model, belief, situation);
  return proposed(model, belief, situation, 1)[0] ?? littleByLittle(model, belief, situation);
}

/** Checks that tell less than this by themselves are not reckoned with even together, in bits. */
const leastOfMany = 0.002;

/**
 * Returns the best of the checks that tell too little each to be worth their time, but much
 * together: a keypad has as many as it has keys. Null: they tell little together as well.
 */
export function littleByLittle(model: Model, belief: Belief, situation: Situation): Proposal | null {
  const { guide, rules } = model;
  if (rules.verdict.leastTogetherBits === 0) return null;
  const open = guide.checks.map(({ id }) => id).filter((id) => !situation.done.includes(id));
  const told = bitsOf(model, belief, open)
    .filter(({ bits }) => bits >= leastOfMany)
    .map(({ check: id, bits }) => {
      const check = guide.checks.find((one) => one.id === id)!;
      return { check: id, bits, minutes: checkMinutes(guide, check, situation) };
    });
  if (told.reduce((sum, { bits }) => sum + bits, 0) < rules.verdict.leastTogetherBits) return null;
  const [best] = told.sort((a, b) => b.bits / Math.max(0.05, b.minutes) - a.bits / Math.max(0.05, a.minutes));
  if (best === undefined) return null;
  const worth = `${bitsWords(best.bits)} in ${minutesWords(best.minutes)}`;
  const because = `It is one of ${told.length} that tell little each and much together: ${worth}.`;
  return { ...best, because };
}

/**
 * Returns whether a decision has the guide's confidence. Opinion alone settles nothing: something
 * must have been checked.
 */
export function isSettled({ guide }: Model, { decisions, evidence }: Belief): boolean {
  return evidence.length > 0 && (decisions[0]?.p ?? 0) >= guide.confidence;
}

/**
 * Returns the checks that are worth doing, best first, each with its information about the
 * decision, its minutes as the bench stands, and why. Checks named in `situation.done` are not
 * among them, nor those that tell less than 0.02 bit.
 */
export function proposals(model: Model, belief: Belief, situation: Situation): Proposal[] {
  return proposed(model, belief, situation, model.guide.checks.length);
}

function proposed(model: Model, belief: Belief, situation: Situation, most: number): Proposal[] {
  const { guide } = model;
  const { bench, outlook, weights } = openBench(model, belief);
  if (weights === null) return [];
  const done = new Set(situation.done);
  const open = guide.checks.flatMap((check, at) => (done.has(check.id) ? [] : [at]));
  // what is worked out beforehand holds for this belief only
  return rankChecks({ ...bench, bits: bitsOfAll(model, belief, outlook, weights) }, weights, situation, open)
    .slice(0, most)
    .map((ranked) => ({
      check: guide.checks[ranked.check]!.id,
      bits: ranked.bits,
      minutes: ranked.minutes,
      because: reasonFor(guide, outlook, weights, ranked, situation),
    }));
}

/**
 * Returns what a choice among a guide's checks is made under; `weights` is null when no suspect is
 * left.
 */
export function openBench(
  model: Model,
  belief: Belief,
): { bench: Bench<Standing>; outlook: NamedOutlook; weights: Weights | null } {
  const { guide } = model;
  const outlook = openOutlook(model, belief);
  const weights = weightsOf(outlook.p);
  const bench: Bench<Standing> = {
    outlook,
    minutes: (check, standing) => checkMinutes(guide, guide.checks[check]!, standing),
    after: (check) => standingAfter(guide.checks[check]!),
    confidence: guide.confidence,
  };
  return { bench, outlook, weights };
}

/**
 * Returns what each of these checks would tell about the decision by itself, in bits, in the
 * guide's order.
 */
export function bitsOf(model: Model, belief: Belief, checks: readonly string[]): { check: string; bits: number }[] {
  const outlook = openOutlook(model, belief);
  const weights = weightsOf(outlook.p);
  if (weights === null) return [];
  const [bits, asked] = [bitsOfAll(model, belief, outlook, weights), new Set(checks)];
  return model.guide.checks.flatMap(({ id }, at) => (asked.has(id) ? [{ check: id, bits: bits(at) }] : []));
}

function reasonFor(
  guide: Guide,
  outlook: NamedOutlook,
  weights: Weights,
  ranked: Ranked,
  situation: Situation,
): string {
  const { apart, most } = parted(outlook, weights, ranked.check);
  const tells =
    apart === null
      ? `It tells most about ${decisionWords([most])}`
      : `It tells ${decisionWords([apart[0]])} from ${decisionWords([apart[1]])}`;
  const worth = `${bitsWords(ranked.bits)} in ${minutesWords(ranked.minutes)}`;
  return `${tells}: ${worth}${changeWords(guide, guide.checks[ranked.check]!, situation)}.`;
}

/**
 * Returns the two decisions that a check parts best: those that its likeliest outcomes speak for.
 */
function parted(
  outlook: NamedOutlook,
  weights: Weights,
  check: number,
): { apart: [DecisionOption, DecisionOption] | null; most: DecisionOption } {
  const before = decisionShares(outlook, weights);
  const leader = indexOfMost(before);
  const spoken: number[] = [];
  const likely = branches(outlook, check, weights).sort((a, b) => b.p - a.p);
  for (const { after } of likely) {
    if (after === null) continue;
    const shares = decisionShares(outlook, after);
    // what gains most in share: a leader may lead on in every branch
    const gained = indexOfMost(shares.map((share, d) => share - before[d]!));
    if (!spoken.includes(gained)) spoken.push(gained);
    if (spoken.length === 2) break;
  }
  const options = spoken.map((d) => outlook.options[d]!);
  const [first, second] = options;
  return {
    apart: first === undefined || second === undefined ? null : [first, second],
    most: outlook.options[leader]!,
  };
}

function indexOfMost(numbers: ArrayLike<number>): number {
  let best = 0;
  for (let k = 1; k < numbers.length; k++) if (numbers[k]! > numbers[best]!) best = k;
  return best;
}

function changeWords(guide: Guide, check: Check, situation: Situation): string {
  const changes = [];
  if (situation.power !== null && situation.power !== check.power) changes.push(`switching the device ${check.power}`);
  const opening = accessMinutes(guide, situation.access, check.access ?? null);
  if (situation.access !== undefined && opening > 0) {
    const name = guide.access.find(({ id }) => id === check.access)?.name ?? 'device closed';
    changes.push(`getting to '${name}'`);
  }
  return changes.length === 0 ? '' : `, with ${changes.join(' and ')}`;
}

function bitsWords(bits: number): string {
  return `${bits.toFixed(2)} bit`;
}

function minutesWords(minutes: number): string {
  return `${Number(minutes.toFixed(1))} min`;
}
