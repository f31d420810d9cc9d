import { parseGuide } from '../../checks/guides.ts';
import type { Guide } from '../../guide/types.ts';
import { believe } from '../../isolate/belief/belief.ts';
import type { Model } from '../../isolate/predict/model.ts';
import type { Belief } from '../../isolate/types.ts';
import type { Entry } from '../../record/entries/entries.ts';
import { rulesFrom } from '../../record/entries/rules.ts';
import { isAttempt } from '../../record/entries/stored-kinds.ts';
import { historyOf } from '../../record/state/evidence-history.ts';
import { emptyJob, foldEntry } from '../../record/state/fold.ts';
import type { JobState } from '../../record/state/job-state.ts';
import { ruleSetOf } from '../rules.ts';

/** What was to be believed after an entry. */
export interface BeliefAfter {
  /**
   * Number of the entry, and what it was: an attempt at a check, a repair, or what isolation
   * concluded.
   */
  n: number;
  entry: Entry;
  belief: Belief;
  /** The model that it was worked out by, and what the entries before this one come to. */
  model: Model;
  before: JobState;
  /** The rules in force at it. */
  rules: number;
}

/** Returns the guide that stands in a record; null when it can't be read. */
export function guideIn(entries: readonly Entry[]): Guide | null {
  const opened = entries.find((entry) => entry.kind === 'opened');
  const parsed = opened?.kind === 'opened' ? parseGuide(opened.guide.text, 'the guide in the record') : null;
  return parsed?.ok === true ? parsed.guide : null;
}

/**
 * Returns the belief over a job, worked out again from its entries alone, after each of them that
 * could change it or that states it. Each is worked out by the rules in force at its entry; by
 * rules that this version does not know there is none.
 */
export function believedOver(guide: Guide, entries: readonly Entry[]): BeliefAfter[] {
  const models = new Map<number, Model | null>();
  const modelBy = (rules: number): Model | null => {
    if (!models.has(rules)) models.set(rules, ruleSetOf(rules)?.openModel(guide) ?? null);
    return models.get(rules) ?? null;
  };
  const steps: BeliefAfter[] = [];
  let state: JobState = emptyJob();
  let rules = 1;
  for (const entry of entries) {
    rules = rulesFrom(entry) ?? rules;
    const before = state;
    state = foldEntry(state, entry);
    if (!isAttempt(entry) && entry.kind !== 'repair' && entry.kind !== 'concluded') continue;
    const model = modelBy(rules);
    if (model === null) continue;
    const { evidence, repaired } = historyOf(state);
    const belief = believe(model, evidence, repaired);
    if (!('code' in belief)) steps.push({ n: entry.n, entry, belief, model, before, rules });
  }
  return steps;
}
