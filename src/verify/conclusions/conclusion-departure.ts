import { besideOutcomes } from '../../isolate/next/beside-outcomes.ts';
import { concludeUnreasoned } from '../../isolate/next/stopping.ts';
import type { Conclusion, RepairPlan } from '../../isolate/types.ts';
import { canonicalJson } from '../../record/chain/canonical.ts';
import type { EntryOf } from '../../record/entries/entries.ts';
import {
  checksDoneAgain,
  evidenceByRepair,
  historyOf,
  outcomesThatCount,
} from '../../record/state/evidence-history.ts';
import type { Compared } from '../finding.ts';
import { ruleSetOf } from '../rules.ts';
import type { BeliefAfter } from './believed.ts';

type Concluded = EntryOf<'concluded'>;
type Due = Omit<Conclusion, 'reasons'>;

/** In what a conclusion differs from the one that is due. */
export interface ConclusionDeparture {
  what: string;
  compared?: Compared;
}

/**
 * Two computations of one number on different machines may differ in the last digits (exp, log).
 */
const tolerance = 1e-6;

/**
 * Returns in what a conclusion differs from the one that the attempts before it give, or null: its
 * kind, its decisions and their probabilities, the plan with its prices, whether it is all, what
 * was not tested, the entries that it rests on. Its sentences are words about these, and are not compared.
 */
export function conclusionDeparture(
  entry: Concluded,
  { model, belief, before: job, rules }: BeliefAfter,
): ConclusionDeparture | null {
  const done = Object.values(job.checks)
    .filter(({ outcome, skipped }) => outcome !== null || skipped !== null)
    .map(({ id }) => id);
  const { repaired } = historyOf(job);
  const standing = Object.values(job.checks).flatMap(({ outcome }) => outcome ?? []);
  const outcomes = model.rules.verdict.isCapped ? outcomesThatCount(job) : standing;
  const alone = concludeUnreasoned(
    model,
    belief,
    { power: job.power, access: undefined, done, again: checksDoneAgain(job) },
    repaired,
  );
  const due = besideOutcomes(alone, outcomes, model.rules);
  const plans = ruleSetOf(rules)?.plansWhereNoneIsDue === true ? [due.plan, alone.plan] : [due.plan];
  const evidence = evidenceByRepair(job)
    .flat()
    .map(({ n }) => n);
  return (
    headDeparture(entry, due) ??
    planDeparture(entry.plan, plans, model.guide.currency) ??
    restDeparture(entry, due, evidence)
  );
}

function headDeparture(entry: Concluded, due: Due): ConclusionDeparture | null {
  for (const [i, { id, name, p }] of due.decisions.entries()) {
    const stated = entry.decisions[i];
    if (stated?.id !== id)
      return differs(
        `the attempts make ${id} number ${i + 1}, the conclusion says ${stated?.id ?? 'nothing'}`,
        stated?.id ?? null,
        id,
      );
    if (!isNear(stated.p, p))
      return differs(`the attempts give ${id} a probability of ${p}, the conclusion says ${stated.p}`, stated.p, p);
    if (stated.name !== name)
      return differs(`${id} is called '${name}', the conclusion says '${stated.name}'`, stated.name, name);
  }
  if (entry.decisions.length !== due.decisions.length)
    return differs(
      `the attempts leave ${due.decisions.length} decisions, the conclusion names ${entry.decisions.length}`,
      entry.decisions.map(({ id }) => id),
      due.decisions.map(({ id }) => id),
    );
  return entry.conclusion === due.kind
    ? null
    : differs(
        `the attempts come to '${due.kind}', the conclusion says '${entry.conclusion}'`,
        entry.conclusion,
        due.kind,
      );
}

function planDeparture(
  plan: Concluded['plan'],
  due: readonly RepairPlan[],
  currency: string | null,
): ConclusionDeparture | null {
  return due.some((one) => isSame(plan, stated(one, currency)))
    ? null
    : differs('the plan of repairs does not follow from the guide and the attempts', plan, stated(due[0]!, currency));
}

function stated(due: RepairPlan, currency: string | null): Concluded['plan'] {
  const steps = due.steps.map(({ repair, name, p, price, minutes }) => ({ repair, name, p, price, minutes }));
  const { expectedPrice, expectedMinutes, left, usual } = due;
  return { steps, expectedPrice, expectedMinutes, left, usual, currency };
}

function restDeparture(entry: Concluded, due: Due, evidence: number[]): ConclusionDeparture | null {
  if (canonicalJson(entry.notTested) !== canonicalJson(due.notTested))
    return differs(
      'the checks that it calls not tested are not those without a result',
      entry.notTested,
      due.notTested,
    );
  const isWhole = entry.isWhole ?? null;
  if (isWhole !== due.isWhole)
    return differs('whether the fault is all that is wrong does not follow from the attempts', isWhole, due.isWhole);
  if ((entry.beyond === null) !== (due.beyond === null))
    return differs(
      'what would tell more is said where nothing is due, or the other way round',
      entry.beyond,
      due.beyond,
    );
  return canonicalJson(entry.evidence) === canonicalJson(evidence)
    ? null
    : differs('the entries that it rests on are not those that count', entry.evidence, evidence);
}

function differs(what: string, stands: unknown, due: unknown): ConclusionDeparture {
  return { what, compared: { stands, due } };
}

/** Whether two plain values are the same, but for the last digits of numbers. */
function isSame(a: unknown, b: unknown): boolean {
  if (typeof a === 'number' && typeof b === 'number') return isNear(a, b);
  if (typeof a !== 'object' || typeof b !== 'object' || a === null || b === null) return a === b;
  const keys = new Set([...Object.keys(a), ...Object.keys(b)]);
  return [...keys].every((key) => isSame((a as Record<string, unknown>)[key], (b as Record<string, unknown>)[key]));
}

function isNear(a: number, b: number): boolean {
  return Math.abs(a - b) <= tolerance * Math.max(1, Math.abs(a), Math.abs(b));
}
