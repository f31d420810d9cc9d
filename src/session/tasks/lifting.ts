import type { Outcome } from '../../measure/types.ts';
import type { JobStep } from '../job/job-step.ts';

/**
 * An outcome is on record: it is heard, held until the tips lift, and the task then ends or is done
 * again.
 */
export function holdOutcome(step: JobStep, outcome: Outcome, again: boolean): boolean {
  const run = step.run;
  run.outcome = outcome;
  run.again = again;
  step.sound(outcome);
  run.stage = 'lifting';
  if (!run.lifted) step.prompt({ act: 'lift' });
  return leaveWhenLifted(step);
}

/**
 * Returns true when the task can be left: the tips are up after its outcome, or a voltage that
 * stopped it is gone.
 */
export function leaveWhenLifted(step: JobStep): boolean {
  const run = step.run;
  if (run.stage === 'live') return run.lifted && !step.state.live;
  if (run.stage !== 'lifting' || !run.lifted) return false;
  run.stage = 'done';
  return true;
}

/**
 * Returns true when a touch has been waited for longer than the settings allow; a person is waited
 * for without end.
 */
export function isOverdue(step: JobStep, tUs: number): boolean {
  const after = step.state.settings.noContactAfterUs;
  return after !== null && step.run.sinceUs !== null && tUs - step.run.sinceUs > after;
}
