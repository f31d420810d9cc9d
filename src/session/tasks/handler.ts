import type { Outcome } from '../../measure/types.ts';
import type { JobSessionEvent } from '../job/job-session-state.ts';
import type { JobStep } from '../job/job-step.ts';

/**
 * How one kind of task is carried out. Handlers only look at the step's state and ask for effects.
 */
export interface TaskHandler {
  /** Begins the task, or begins it again after a repeat, a live voltage or a lost link. */
  start(step: JobStep): void;
  /**
   * True while the probe's button answers the task itself: a short press is yes, a long one no.
   * Else it means repeat and skip.
   */
  takesButton?(step: JobStep): boolean;
  /**
   * Takes an event while the task is in hand. Returns true when the session should go on to what
   * comes next.
   */
  on(step: JobStep, event: JobSessionEvent): boolean;
}

/** Outcomes that say nothing for or against the device. */
const undecided: readonly Outcome[] = ['unsteady', 'no-contact', 'live', 'borderline'];

/**
 * Returns true when a check with this outcome is asked for again: it is undecided, and the settings
 * allow one more try.
 */
export function isWorthAnotherTry(step: JobStep, outcome: Outcome): boolean {
  return undecided.includes(outcome) && step.state.tries < step.state.settings.attemptsMax;
}
