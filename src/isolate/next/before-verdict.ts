import { type EvidenceEffect, evidenceEffect, logOfCell } from '../belief/evidence-effect.ts';
import { checkWords, decisionWords } from '../belief/evidence-words.ts';
import type { Model } from '../predict/model.ts';
import { planRepairs } from '../repair/repair-plan.ts';
import { nothingWrong, notInGuide } from '../suspects/suspects.ts';
import type { Belief, DecisionOption, Proposal, Situation } from '../types.ts';
import { checkMinutes } from './check-minutes.ts';
import { informationBits, type Weights } from './information.ts';
import { type NamedOutlook, openOutlook } from './outlook.ts';
import { checkForSecond } from './second-fault.ts';

/** Returns whether the leading suspect explains all that was seen. */
export function isExplained({ unexplained = [] }: Belief): boolean {
  return unexplained.length === 0;
}

/**
 * Returns the check that is to be done before a decision that is probable enough is named; null
 * when there is none.
 *
 * - Readings that the leader leaves unexplained are asked for once more; then a check that tells
 *   the leader from the rest, as long as there is one.
 * - Before a dear repair, one more check that the leader predicts and the runner-up does not,
 *   unless two pieces of evidence tell them apart already.
 * - Before a part is bought, a check that tells it from what the guide doesn't know; where none is
 *   left and a pad under lacquer would explain all, that pad is wiped and touched again.
 * - Then what may show a second fault, as long as that is worth the minutes.
 */
export function beforeVerdict(model: Model, belief: Belief, situation: Situation): Proposal | null {
  const leading = belief.decisions[0];
  if (!model.rules.verdict.isCapped || leading === undefined) return null;
  if (!isExplained(belief)) {
    const again = (belief.unexplained ?? []).find((id) => !(situation.again ?? []).includes(id));
    if (again !== undefined) return askedAgain(model, belief, again, situation);
    return leading.id === notInGuide ? null : telling(model, belief, belief.decisions[1], situation);
  }
  if (leading.id === nothingWrong || leading.id === notInGuide) return null;
  return confirming(model, belief, situation) ?? checkForSecond(model, belief, situation);
}

/** What has to be certain before money is spent. */
function confirming(model: Model, belief: Belief, situation: Situation): Proposal | null {
  const first = planRepairs(model, belief).steps[0];
  if (first === undefined) return null;
  const [, runnerUp] = belief.decisions;
  if (isDear(model, first.price) && speaking(model, belief, runnerUp) < 2) {
    const check = telling(model, belief, runnerUp, situation);
    if (check !== null) return check;
  }
  if (first.price === 0) return null;
  const other = belief.decisions.find(({ id }) => id === notInGuide);
  if (speaking(model, belief, other) >= 1) return null;
  return telling(model, belief, other, situation) ?? wiped(model, belief, situation);
}

/** The checks at a pad that may be under lacquer, one after the other: its tip on bare metal. */
function wiped(model: Model, belief: Belief, situation: Situation): Proposal | null {
  const pad = likeliestPad(model, belief);
  if (pad === null) return null;
  const suspect = model.suspects.findIndex(({ cause }) => cause?.kind === 'pad' && cause.pad === pad);
  const gained = belief.evidence
    .filter(({ check }) => !(situation.again ?? []).includes(check) && touches(model, check, pad))
    .map((piece) => {
      const effect = evidenceEffect(model, piece);
      return { check: piece.check, gain: mostOf(model, effect, suspect) - effect.healthyLog };
    })
    .filter(({ gain }) => gain > Math.log(model.rules.verdict.speaks))
    .sort((a, b) => b.gain - a.gain);
  return gained[0] === undefined ? null : askedAgain(model, belief, gained[0].check, situation);
}

/**
 * The pad that would explain most, if what the guide doesn't know is there; null: it is not at a
 * pad.
 */
function likeliestPad(model: Model, { suspects }: Belief): string | null {
  const id = suspects.find(({ decision }) => decision === notInGuide)?.id;
  const cause = model.suspects.find((one) => one.id === id)?.cause;
  return cause?.kind === 'pad' ? cause.pad : null;
}

function touches({ guide }: Model, id: string, pad: string): boolean {
  const check = guide.checks.find((one) => one.id === id);
  return check !== undefined && 'pads' in check && check.pads?.includes(pad) === true;
}

function askedAgain(model: Model, belief: Belief, id: string, situation: Situation): Proposal | null {
  const { guide } = model;
  const check = guide.checks.find((one) => one.id === id);
  if (check === undefined) return null;
  const minutes = checkMinutes(guide, check, situation);
  const pad = likeliestPad(model, belief);
  if (pad !== null && touches(model, id, pad)) {
    const cause = `Lacquer, flux or oxide on pad ${pad} would explain what was read`;
    const because = `${cause}: wipe or scratch it bright, then once more.`;
    return { check: id, bits: 0, minutes, again: true, wipe: pad, because };
  }
  const because = `What ${checkWords(check)} showed does not fit the rest: once more, before anything is named.`;
  return { check: id, bits: 0, minutes, again: true, because };
}

/** The check not yet done that tells the leader best from another decision, for its minutes. */
function telling(
  model: Model,
  belief: Belief,
  other: DecisionOption | undefined,
  situation: Situation,
): Proposal | null {
  const { guide, rules } = model;
  if (other === undefined) return null;
  const outlook = openOutlook(model, belief);
  const one = belief.decisions[0]!;
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

/** Whether a price is above the guide's, or among the dearest third of its repairs. */
function isDear({ guide }: Model, price: number): boolean {
  if (guide.confirmAbove !== undefined) return price >= guide.confirmAbove;
  const prices = guide.repairs.map((one) => one.price).sort((a, b) => b - a);
  const third = prices[Math.max(0, Math.ceil(prices.length / 3) - 1)];
  return price > 0 && price >= (third ?? Number.POSITIVE_INFINITY);
}

/**
 * How many checks speak for the leader against another decision, each by itself; where there is
 * nothing to compare, more than enough.
 */
function speaking(model: Model, belief: Belief, other: DecisionOption | undefined): number {
  const best = (decision: string | undefined): number =>
    model.suspects.findIndex(({ id }) => id === belief.suspects.find((suspect) => suspect.decision === decision)?.id);
  const [first, second] = [best(belief.decisions[0]!.id), best(other?.id)];
  if (first === -1 || second === -1) return Number.POSITIVE_INFINITY;
  const those = belief.evidence.filter((piece) => {
    const effect = evidenceEffect(model, piece);
    return mostOf(model, effect, first) - mostOf(model, effect, second) > Math.log(model.rules.verdict.speaks);
  });
  return new Set(those.map(({ check }) => check)).size;
}

function mostOf({ suspects }: Model, effect: EvidenceEffect, s: number): number {
  let most = Number.NEGATIVE_INFINITY;
  for (let c = 0; c < suspects[s]!.cells.length; c++) most = Math.max(most, logOfCell(effect, s, c));
  return most;
}
