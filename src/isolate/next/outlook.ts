import { type OutcomeTable, outcomeTable } from '../belief/outcomes.ts';
import type { Model } from '../predict/model.ts';
import { decisionOption } from '../suspects/suspects.ts';
import type { Belief, DecisionOption, Suspect } from '../types.ts';
import type { Outlook } from './information.ts';

/**
 * An outlook over suspects by their names, with what is believed of them. Checks are numbered in
 * the guide's order.
 */
export interface NamedOutlook extends Outlook {
  /** Ids and probabilities of the suspects, in the order of the outcomes. */
  ids: string[];
  p: Float64Array;
  /** Decisions by their number. */
  options: DecisionOption[];
  /** Returns, for each class of a check's outcome, whether the check passes in it. */
  passes(check: number): boolean[];
}

/** Checks whose outcomes an outlook holds at a time: more than a look ahead reckons with. */
const tablesKept = 64;

/**
 * Returns the outlook of a belief: the outcomes take in what the evidence has told of a suspect's
 * ohms.
 */
export function openOutlook(model: Model, belief: Belief): NamedOutlook {
  return outlookOf(
    model,
    belief.suspects,
    belief.suspects.map(({ p }) => p),
    belief,
  );
}

/** Returns the outlook before any check. */
export function priorOutlook(model: Model): NamedOutlook {
  return outlookOf(
    model,
    model.suspects,
    model.suspects.map(({ prior }) => prior),
    null,
  );
}

function outlookOf(
  model: Model,
  suspects: readonly Suspect[],
  p: readonly number[],
  belief: Belief | null,
): NamedOutlook {
  const numbers = new Map<string, number>();
  const decisionOf = Int32Array.from(suspects, ({ decision }) => {
    if (!numbers.has(decision)) numbers.set(decision, numbers.size);
    return numbers.get(decision)!;
  });
  // all of them at once would be hundreds of megabytes for a guide of a thousand links
  const tables = new Map<number, OutcomeTable>();
  const table = (check: number): OutcomeTable => {
    let found = tables.get(check);
    if (found === undefined) {
      found = outcomeTable(model, belief, model.guide.checks[check]!.id)!;
      if (tables.size >= tablesKept) tables.clear();
      tables.set(check, found);
    }
    return found;
  };
  return {
    ids: suspects.map(({ id }) => id),
    p: Float64Array.from(p),
    decisionOf,
    decisions: numbers.size,
    options: [...numbers.keys()].map(
      (id) => belief?.decisions.find((one) => one.id === id) ?? decisionOption(model.guide, id),
    ),
    checks: model.guide.checks.length,
    outcomes: table,
    passes: (check) => table(check).classes.map(({ isPass }) => isPass),
  };
}
