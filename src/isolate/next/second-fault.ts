import { addEffect } from '../belief/belief-state.ts';
import { evidenceEffect } from '../belief/evidence-effect.ts';
import { outcomeChance } from '../belief/outcome-rows.ts';
import { outcomeTable } from '../belief/outcomes.ts';
import type { Model } from '../predict/model.ts';
import type { Belief, Proposal, Situation } from '../types.ts';
import { checkMinutes } from './check-minutes.ts';

/** What is left of the chance of a second, independent fault beside the one that a belief names. */
interface SecondFault {
  /**
   * Chance that there is one that asks for something else, and that what was measured has not
   * shown.
   */
  chance: number;
  /** For each suspect of the model its part of that. */
  bySuspect: Float64Array;
}

/**
 * Returns what is left of a second fault that would change the bill: one whose decision is another
 * than the leader's; null where two faults are named already, or none of the guide's.
 *
 * Only evidence that the named fault makes no difference to speaks of a second one: for each other
 * suspect its prior goes down by how much less probable that evidence is with it than on a device
 * without it.
 */
function secondFault(model: Model, belief: Belief): SecondFault | null {
  const { rules, suspects, cellStart } = model;
  const leading = belief.suspects[0];
  const own = suspects.findIndex(({ id }) => id === leading?.id);
  if (own === -1 || suspects[own]!.link === -1) return null;
  const log = new Float64Array(cellStart[suspects.length]!);
  for (const piece of belief.evidence) {
    const effect = evidenceEffect(model, piece);
    if (effect.sights.rowOf[own] === -1) addEffect(model, effect, log);
  }
  let [all, chance] = [0, 0];
  const bySuspect = new Float64Array(suspects.length);
  suspects.forEach(({ link, prior, decision, cells }, s) => {
    if (link === -1) return;
    all += prior;
    if (decision === suspects[own]!.decision) return;
    const left = cells.reduce(
      (sum, { weight }, c) => sum + prior * weight * Math.min(1, Math.exp(log[cellStart[s]! + c]!)),
      0,
    );
    bySuspect[s] = rules.pairs.secondFaultShare * left;
    chance += bySuspect[s]!;
  });
  return { chance: chance / all, bySuspect: bySuspect.map((one) => one / all) };
}

/**
 * Returns whether the fault that a belief names is as good as all that is wrong: little chance is
 * left of one that would change the bill.
 */
export function isWholeFault(model: Model, belief: Belief): boolean {
  const second = secondFault(model, belief);
  return second === null || second.chance < model.rules.verdict.leastSecond;
}

/**
 * Returns a check that is worth its minutes although a fault is named already: the chance that it
 * shows a second one, times what a device that comes back costs, is more than it takes. Null: there
 * is none.
 */
export function checkForSecond(model: Model, belief: Belief, situation: Situation): Proposal | null {
  const { guide, rules } = model;
  const second = secondFault(model, belief);
  if (second === null || second.chance < rules.verdict.leastSecond) return null;
  const own = model.suspects.findIndex(({ id }) => id === belief.suspects[0]!.id);
  let best: Proposal | null = null;
  let most = 0;
  for (const check of guide.checks) {
    if (situation.done.includes(check.id)) continue;
    const minutes = checkMinutes(guide, check, situation);
    // what it can show at most is not worth its minutes: no need to work it out
    if (second.chance * rules.verdict.returnMinutes <= minutes) continue;
    const gain = shownBy(model, check.id, own, second.bySuspect) * rules.verdict.returnMinutes - minutes;
    if (gain <= most) continue;
    most = gain;
    best = { check: check.id, bits: 0, minutes, because: 'It would show a second fault, and takes little.' };
  }
  return best;
}

/** Chance that a check shows a second fault; 0 where the named one shows in it. */
function shownBy(model: Model, check: string, own: number, bySuspect: Float64Array): number {
  const table = outcomeTable(model, null, check)!;
  const passing = (s: number): number =>
    table.classes.reduce((sum, { isPass }, o) => (isPass ? sum + outcomeChance(table, o, s) : sum), 0);
  const healthy = passing(0);
  if (Math.abs(passing(own) - healthy) > 0.01) return 0;
  return bySuspect.reduce((sum, chance, s) => (chance > 0 ? sum + chance * Math.max(0, healthy - passing(s)) : sum), 0);
}
