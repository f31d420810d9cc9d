import type { BenchEvent } from '../state.ts';
import type { Turn } from '../turn.ts';

/** How one kind of task is carried out. Handlers only look at the turn's state and ask for effects. */
export interface TaskHandler {
  /** Begins the task, or begins it again after a repeat, a live voltage or a lost link. */
  start(turn: Turn): void;
  /** Takes an event while the task is in hand. Returns true when the session should go on to what comes next. */
  on(turn: Turn, event: BenchEvent): boolean;
}

/** Outcomes that say nothing for or against the device; the check is asked for again, up to the settings' number of attempts. */
export const undecided = ['unsteady', 'no-contact', 'live', 'borderline'] as const;

export function isUndecided(outcome: string | null): boolean {
  return outcome === null || (undecided as readonly string[]).includes(outcome);
}
