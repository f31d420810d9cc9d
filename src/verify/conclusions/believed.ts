import { parseGuide } from '../../checks/guides.ts';
import type { Guide } from '../../guide/types.ts';
import { believe } from '../../isolate/belief/belief.ts';
import type { Model } from '../../isolate/predict/model.ts';
import type { Belief } from '../../isolate/types.ts';
import type { Entry } from '../../record/entries/entries.ts';
import { rulesFrom } from '../../record/entries/rules.ts';
import { isAttempt } from '../../record/kinds/stored-kinds.ts';
import { historyOf } from '../../record/state/evidence-history.ts';
import { foldSteps } from '../../record/state/fold.ts';
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

/** A guide's text worked out, and its models by the number of their rules. Whoever verifies a folder meets the same guide in most records. */
interface Known {
  guide: Guide | null;
  models: Map<number, Model | null>;
}

/** The guides that were met last, by their text. */
const known = new Map<string, Known>();
const mostKnown = 8;

/** Returns the guide that stands in a record; null when it can't be read. */
export function guideIn(entries: readonly Entry[]): Guide | null {
  const opened = entries.find((entry) => entry.kind === 'opened');
  return opened?.kind === 'opened' ? knownBy(opened.guide.text).guide : null;
}

function knownBy(text: string): Known {
  let one = known.get(text);
  if (one === undefined) {
    const parsed = parseGuide(text, 'the guide in the record');
    one = { guide: parsed.ok ? parsed.guide : null, models: new Map() };
    if (known.size >= mostKnown) known.delete(known.keys().next().value!);
    known.set(text, one);
  }
  return one;
}

/** Returns the model of a guide by some rules, made once for a guide that `guideIn` gave; null by rules that this version does not know. */
function modelOf(guide: Guide, rules: number): Model | null {
  const made = [...known.values()].find((one) => one.guide === guide)?.models;
  const model = made?.get(rules) ?? ruleSetOf(rules)?.openModel(guide) ?? null;
  made?.set(rules, model);
  return model;
}

/**
 * Returns the belief over a job, worked out again from its entries alone, after each of them that
 * could change it or that states it. Each is worked out by the rules in force at its entry; by
 * rules that this version does not know there is none.
 *
 * @param isAsked the entries after which it is asked for; left out, all of those
 */
export function believedOver(
  guide: Guide,
  entries: readonly Entry[],
  isAsked: (entry: Entry) => boolean = isOfBelief,
): BeliefAfter[] {
  const models = new Map<number, Model | null>();
  const modelBy = (rules: number): Model | null => {
    if (!models.has(rules)) models.set(rules, modelOf(guide, rules));
    return models.get(rules) ?? null;
  };
  const steps: BeliefAfter[] = [];
  let rules = 1;
  for (const { entry, before, after } of foldSteps(entries)) {
    rules = rulesFrom(entry) ?? rules;
    if (!isAsked(entry)) continue;
    const model = modelBy(rules);
    if (model === null) continue;
    const { evidence, repaired } = historyOf(after());
    const belief = believe(model, evidence, repaired);
    if (!('code' in belief)) steps.push({ n: entry.n, entry, belief, model, before: before(), rules });
  }
  return steps;
}

function isOfBelief(entry: Entry): boolean {
  return isAttempt(entry) || entry.kind === 'repair' || entry.kind === 'concluded';
}
