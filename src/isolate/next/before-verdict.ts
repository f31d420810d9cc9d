import { type EvidenceEffect, evidenceEffect, logAt } from '../belief/evidence-effect.ts';
import { checkWords, decisionWords } from '../belief/evidence-words.ts';
import type { Model } from '../predict/model.ts';
import { planRepairs } from '../repair/repair-plan.ts';
import { nothingWrong, notInGuide } from '../suspects/suspects.ts';
import type { Belief, Proposal, Situation } from '../types.ts';
import { checkMinutes } from './check-minutes.ts';
import { informationBits, type Weights } from './information.ts';
import { type NamedOutlook, openOutlook } from './outlook.ts';

/** Returns whether the leading suspect explains all that was seen. */
export function isExplained({ unexplained = [] }: Belief): boolean {
  return unexplained.length === 0;
}

/**
 * Returns the check that is to be done before a decision that is probable enough is named; null when there is none.
 *
 * - Readings that the leader leaves unexplained are asked for once more; then a check that tells the leader from the rest, as long as there is one.
 * - Before a dear repair, one more check that the leader predicts and the runner-up does not, unless two pieces of evidence tell them apart already.
 */
export function beforeVerdict(model: Model, belief: Belief, situation: Situation): Proposal | null {
  const leading = belief.decisions[0];
  if (!model.rules.verdict.isCapped || leading === undefined) return null;
  if (!isExplained(belief)) {
    const again = (belief.unexplained ?? []).find((id) => !(situation.again ?? []).includes(id));
    if (again !== undefined) return askedAgain(model, again, situation);
    return leading.id === notInGuide ? null : telling(model, belief, situation);
  }
  if (leading.id === nothingWrong || leading.id === notInGuide) return null;
  return isDear(model, belief) && !isConfirmed(model, belief) ? telling(model, belief, situation) : null;
}

function askedAgain({ guide }: Model, id: string, situation: Situation): Proposal | null {
  const check = guide.checks.find((one) => one.id === id);
  if (check === undefined) return null;
  const because = `What ${checkWords(check)} showed does not fit the rest: once more, before anything is named.`;
  return { check: id, bits: 0, minutes: checkMinutes(guide, check, situation), again: true, because };
}

/** The check not yet done that tells the leader best from the runner-up, for its minutes. */
function telling(model: Model, belief: Belief, situation: Situation): Proposal | null {
  const { guide, rules } = model;
  const outlook = openOutlook(model, belief);
  const [one, other] = [belief.decisions[0]!, runnerUp(belief)];
  if (other === undefined) return null;
  const weights = evenly(outlook, one.id, other.id);
  const done = new Set(situation.done);
  const ranked = guide.checks
    .flatMap((check, at) => {
      if (done.has(check.id)) return [];
      const bits = informationBits(outlook, at, weights);
      return bits < rules.verdict.leastConfirmBits
        ? []
        : [{ check, bits, minutes: checkMinutes(guide, check, situation) }];
    })
    .sort((a, b) => b.bits / Math.max(0.05, b.minutes) - a.bits / Math.max(0.05, a.minutes));
  const best = ranked[0];
  if (best === undefined) return null;
  const { check, bits, minutes } = best;
  return {
    check: check.id,
    bits,
    minutes,
    because: `It confirms ${decisionWords([one])} against ${decisionWords([other])}.`,
  };
}

function runnerUp({ decisions }: Belief) {
  return decisions[1];
}

/** The suspects of two decisions, each decision with half of the weight. */
function evenly({ p, decisionOf, options }: NamedOutlook, one: string, other: string): Weights {
  const index: number[] = [];
  const weights: number[] = [];
  for (const id of [one, other]) {
    const those = [...p.keys()].filter((s) => options[decisionOf[s]!]!.id === id && p[s]! > 0);
    const total = those.reduce((sum, s) => sum + p[s]!, 0);
    for (const s of those) {
      index.push(s);
      weights.push((0.5 * p[s]!) / total);
    }
  }
  return { index: Int32Array.from(index), p: Float64Array.from(weights) };
}

/** Whether the repair that comes first is among the dearest: above the guide's price, or the dearest third of its repairs. */
function isDear(model: Model, belief: Belief): boolean {
  const first = planRepairs(model, belief).steps[0];
  if (first === undefined || first.price === 0) return false;
  const prices = model.guide.repairs.map(({ price }) => price).sort((a, b) => b - a);
  const third = prices[Math.max(0, Math.ceil(prices.length / 3) - 1)];
  return first.price >= (model.guide.confirmAbove ?? third ?? Number.POSITIVE_INFINITY);
}

/** Whether two pieces of evidence speak for the leader against the runner-up, each by itself. */
function isConfirmed(model: Model, belief: Belief): boolean {
  const [one, other] = [belief.decisions[0]!, runnerUp(belief)];
  if (other === undefined) return true;
  const best = (decision: string): number =>
    model.suspects.findIndex(({ id }) => id === belief.suspects.find((suspect) => suspect.decision === decision)?.id);
  const [first, second] = [best(one.id), best(other.id)];
  if (first === -1 || second === -1) return true;
  const speaking = belief.evidence.filter((piece) => {
    const effect = evidenceEffect(model, piece);
    return mostOf(model, effect, first) - mostOf(model, effect, second) > Math.log(model.rules.verdict.speaks);
  });
  return new Set(speaking.map(({ check }) => check)).size >= 2;
}

function mostOf({ cellStart }: Model, effect: EvidenceEffect, s: number): number {
  let most = Number.NEGATIVE_INFINITY;
  for (let k = cellStart[s]!; k < cellStart[s + 1]!; k++) most = Math.max(most, logAt(effect, k));
  return most;
}
