import { parseGuide } from '../../checks/guides.ts';
import type { Guide } from '../../guide/types.ts';
import { believe } from '../../isolate/belief/belief.ts';
import type { Model } from '../../isolate/predict/model.ts';
import type { Belief } from '../../isolate/types.ts';
import type { Entry } from '../../record/entries/entries.ts';
import { courseOf } from '../../record/state/course.ts';
import { isAttempt } from '../../record/state/evidence.ts';
import { emptyJob, foldEntry } from '../../record/state/fold.ts';
import type { JobState } from '../../record/state/job-state.ts';

/** What was to be believed after an entry. */
export interface BeliefAfter {
  /** Number of the entry, and what it was: an attempt at a check, a repair, or what isolation concluded. */
  n: number;
  entry: Entry;
  belief: Belief;
}

/** Returns the guide that stands in a record; null when it can't be read. */
export function guideIn(entries: readonly Entry[]): Guide | null {
  const opened = entries.find((entry) => entry.kind === 'opened');
  const parsed = opened?.kind === 'opened' ? parseGuide(opened.guide.text, 'the guide in the record') : null;
  return parsed?.ok === true ? parsed.guide : null;
}

/** Returns the belief over a job, worked out again from its entries alone, after each of them that could change it or that states it. */
export function believedOver(model: Model, entries: readonly Entry[]): BeliefAfter[] {
  const steps: BeliefAfter[] = [];
  let state: JobState = emptyJob();
  for (const entry of entries) {
    state = foldEntry(state, entry);
    if (!isAttempt(entry) && entry.kind !== 'repair' && entry.kind !== 'concluded') continue;
    const { evidence, repaired } = courseOf(state);
    const belief = believe(model, evidence, repaired);
    if (!('code' in belief)) steps.push({ n: entry.n, entry, belief });
  }
  return steps;
}
