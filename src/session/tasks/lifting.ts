import type { Outcome } from '../../measure/types.ts';
import type { Turn } from '../job/transition.ts';

/** An outcome is on record: it is heard, held until the tips lift, and the task then ends or is done again. */
export function holdOutcome(turn: Turn, outcome: Outcome, again: boolean): boolean {
  const run = turn.run;
  run.outcome = outcome;
  run.again = again;
  turn.sound(outcome);
  run.stage = 'lifting';
  if (!run.lifted) turn.prompt({ act: 'lift' });
  return leaveWhenLifted(turn);
}

/** Returns true when the task can be left: the tips are up after its outcome, or a voltage that stopped it is gone. */
export function leaveWhenLifted(turn: Turn): boolean {
  const run = turn.run;
  if (run.stage === 'live') return run.lifted && !turn.state.live;
  if (run.stage !== 'lifting' || !run.lifted) return false;
  run.stage = 'done';
  return true;
}

/** Returns true when a touch has been waited for longer than the settings allow; a person is waited for without end. */
export function isOverdue(turn: Turn, tUs: number): boolean {
  const after = turn.state.settings.noContactAfterUs;
  return after !== null && turn.run.sinceUs !== null && tUs - turn.run.sinceUs > after;
}
