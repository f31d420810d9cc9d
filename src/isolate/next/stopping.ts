import type { Repaired } from '../belief/belief.ts';
import { listWords } from '../belief/evidence-words.ts';
import { kindModelOf } from '../kinds/registry.ts';
import type { Model } from '../predict/model.ts';
import { noRepairs, planRepairs } from '../repair/repair-plan.ts';
import { nothingWrong, notInGuide } from '../suspects/suspects.ts';
import type { Belief, Conclusion, DecisionOption, Situation } from '../types.ts';
import { beforeVerdict, isExplained } from './before-verdict.ts';
import { bitsOf, isSettled, littleByLittle } from './next-check.ts';
import { leastBits } from './rank-checks.ts';
import { reasonsFor } from './reasons.ts';
import { isWholeFault } from './second-fault.ts';

/** Nothing is bought for what the guide does not know. */
const { steps, expectedPrice, expectedMinutes, left } = noRepairs;
const noSteps = { steps, expectedPrice, expectedMinutes, left };

/** Decisions less probable than this are not named in a group. */
const leastNamed = 0.02;

/**
 * Returns what isolation has come to, with its reasons, the plan of repairs, and what was not
 * tested.
 *
 * - `fault`, `none`: the leading decision has the guide's confidence; `none` is that nothing is
 *   wrong.
 * - `group`: no check left is by itself worth 0.02 bit; its decisions together have the guide's
 *   confidence. `beyond` says what would part them.
 * - `open`: go on.
 *
 * With repairs done, only what was measured after the last one counts as tested. A check counts as
 * tested when the belief rests on it and it said something: a bridge that was never proven, an
 * `unsure` did not.
 */
export function conclude(
  model: Model,
  belief: Belief,
  situation: Situation,
  repaired: readonly Repaired[] = [],
): Conclusion {
  const concluded = concludeUnreasoned(model, belief, situation, repaired);
  const reasons = [...reasonsFor(model, belief, repaired), ...moreWords(model, belief, concluded.kind)];
  return { ...concluded, reasons };
}

/**
 * The same without its reasons, for whoever compares: a reason weighs every piece of evidence anew.
 */
export function concludeUnreasoned(
  model: Model,
  belief: Belief,
  situation: Situation,
  repaired: readonly Repaired[] = [],
): Omit<Conclusion, 'reasons'> {
  const { guide } = model;
  const standing = belief.evidence.slice(repaired.at(-1)?.after ?? 0);
  const spoken = new Set(standing.filter((one) => kindModelOf(one).isSpoken(one)).map(({ check }) => check));
  const notTested = guide.checks.map(({ id }) => id).filter((id) => !spoken.has(id));
  const kind = kindOf(model, belief, situation);
  const decisions = kind === 'group' ? groupOf(model, belief) : belief.decisions.slice(0, 1);
  return {
    kind,
    decisions,
    plan: kind === 'unknown' ? { ...planRepairs(model, belief), ...noSteps } : planRepairs(model, belief),
    notTested,
    isWhole: kind === 'fault' && model.rules.verdict.isCapped ? isWholeFault(model, belief) : null,
    beyond: kind === 'group' ? beyondWords(model, belief, decisions, notTested) : null,
  };
}

function kindOf(model: Model, belief: Belief, situation: Situation): Conclusion['kind'] {
  const leading = belief.decisions[0]?.id;
  if (isSettled(model, belief)) {
    if (beforeVerdict(model, belief, situation) !== null) return 'open';
    if (leading === notInGuide) return 'unknown';
    // what the leader does not explain speaks against naming it
    if (!isExplained(belief)) return leading === nothingWrong ? 'unknown' : 'group';
    return leading === nothingWrong ? 'none' : 'fault';
  }
  const open = model.guide.checks.map(({ id }) => id).filter((id) => !situation.done.includes(id));
  if (bitsOf(model, belief, open).some(({ bits }) => bits >= leastBits)) return 'open';
  if (littleByLittle(model, belief, situation) !== null) return 'open';
  return leading === notInGuide ? 'unknown' : 'group';
}

/** Returns the decisions that together have the confidence, the most probable first. */
function groupOf({ guide: { confidence } }: Model, belief: Belief): Conclusion['decisions'] {
  const group: Conclusion['decisions'] = [];
  let sum = 0;
  for (const decision of belief.decisions) {
    if (sum >= confidence && decision.p < leastNamed) break;
    group.push(decision);
    sum += decision.p;
    if (sum >= confidence) break;
  }
  // a leader that leaves readings unexplained never stands alone
  const other = belief.decisions.find(({ id }) => id === notInGuide);
  if (!isExplained(belief) && other !== undefined && !group.includes(other)) group.push(other);
  return group;
}

/** What a verdict leaves open, under rules that ask for it. */
function moreWords(model: Model, belief: Belief, kind: Conclusion['kind']): string[] {
  if (!model.rules.verdict.isCapped) return [];
  if (kind === 'fault' && !isWholeFault(model, belief)) {
    return ['At least this: a second fault would have shown in none of the checks that were done.'];
  }
  if (kind !== 'unknown') return [];
  const titles = (belief.unexplained ?? []).map(
    (id) => `'${model.guide.checks.find((check) => check.id === id)?.title ?? id}'`,
  );
  const what = titles.length === 0 ? 'what was read' : listWords(titles);
  return [
    `None of the faults of this guide explains ${what}.`,
    'Look by eye for bridged or corroded joints, liquid, a part of another value, and whether the revision is ' +
      'one of the guide; buy no part on this.',
  ];
}

/** Checks that tell less than this, in bits, are not worth a word. */
const leastTold = 0.001;
/** So many of the checks that tell little are named. */
const mostNamed = 3;

/**
 * What would part a group: first a check that was left out, then those that tell little each and
 * may tell much together (a keypad has as many as it has keys), then a known-good unit, then
 * somebody with more than this guide has. Where nothing wrong is likeliest no part is asked for.
 */
function beyondWords(
  model: Model,
  belief: Belief,
  group: readonly DecisionOption[],
  notTested: readonly string[],
): string {
  const { guide } = model;
  const titled = (ids: readonly string[]): string =>
    listWords(ids.map((id) => `'${guide.checks.find((check) => check.id === id)!.title}'`));
  const told = bitsOf(model, belief, notTested);
  const left = told.filter(({ bits }) => bits >= leastBits);
  if (left.length > 0) {
    return `Left out so far, and able to tell them apart: ${titled(left.map(({ check }) => check))}.`;
  }
  const little = told.filter(({ bits }) => bits >= leastTold).sort((a, b) => b.bits - a.bits);
  const most = titled(little.slice(0, mostNamed).map(({ check }) => check));
  const real = group.filter(({ id }) => id !== nothingWrong);
  const unit = guide.units
    .filter((one) => real.some(({ units }) => units.length === 1 && units[0] === one.id))
    .sort((a, b) => (a.price ?? 0) - (b.price ?? 0))[0];
  if (group[0]?.id === nothingWrong) {
    return little.length === 0
      ? 'No check of this guide tells more; watch whether the fault comes back.'
      : `No check left tells much more, ${most} the most; watch whether the fault comes back.`;
  }
  const names = group.map(({ name }) => name).join('; ');
  const swap = unit === undefined ? '' : `a known-good ${unit.name} to swap in, or `;
  const elsewhere = `${swap}a bench that works at board level would`;
  if (little.length === 0) return `No check of this guide tells these apart (${names}); ${elsewhere}.`;
  const howMany = little.length === 1 ? '1 check' : `${little.length} checks`;
  const tell = little.length === 1 ? 'tells' : 'tell';
  return `${howMany} not done ${tell} little each, ${most} the most: choose what fits the symptom; ${elsewhere}.`;
}
