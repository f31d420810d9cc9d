import type { Belief, Conclusion, Proposal, Situation } from '../../isolate/types.ts';
import type { JobState } from '../../record/state/job-state.ts';

/**
 * What tells suspects apart, as the session uses it. Pure: the same job and situation always give
 * the same.
 */
export interface Isolator {
  /**
   * Returns the belief after everything that the record holds of the device, or why there is none.
   */
  believe(job: JobState): Belief | { what: string };
  /**
   * Returns the check that tells most about the decision for its minutes; null when none is worth
   * it or enough is known.
   */
  next(job: JobState, belief: Belief, situation: Situation): Proposal | null;
  conclude(job: JobState, belief: Belief, situation: Situation): Conclusion;
}

/** What is believed of a job now, and what follows from it. */
export interface Insight {
  /** Compared by identity: what is worked out of it is kept beside the very object. */
  belief: Belief;
  /** What comes next unless a person wants otherwise. */
  next: Proposal | null;
  /** The situation that `next` holds for. */
  situation: Situation;
}
