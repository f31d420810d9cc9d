import type { CheckKindName } from '../../guide/types.ts';
import type { ContactHappening } from '../../measure/types.ts';
import type { Entry } from '../../record/entries/entries.ts';
import { checkKindOf, isAttempt } from '../../record/entries/stored-kinds.ts';
import type { Turn } from '../job/transition.ts';
import { isWorthAnotherTry } from './handler.ts';
import { holdOutcome, leaveWhenLifted } from './lifting.ts';
import { meetLive } from './live.ts';
import { askAfterStanding } from './standing.ts';

/** A touch that has settled, or was given the time to: what a task decides on by itself. */
export type SettledHappening = Extract<ContactHappening, { kind: 'captured' | 'unsteady' }>;

/** Returns whether a touch is waited for or under way, so that what settles is the task's. */
export function isTouching({ run }: Turn): boolean {
  return !run.abandoned && (run.stage === 'waiting' || run.stage === 'touching');
}

/**
 * Takes what the tips do: touching, settling, a voltage, lifting. Returns what the task is to return.
 *
 * `onSettled` gets a touch that has settled or could not; `onLift` is called for a lift before the task goes on from it.
 */
export function stepTips(
  turn: Turn,
  happening: ContactHappening,
  onSettled: (settled: SettledHappening) => void,
  onLift: () => void = () => undefined,
): boolean {
  const { run } = turn;
  switch (happening.kind) {
    case 'make':
      if (run.stage === 'waiting') run.stage = 'touching';
      run.lifted = false;
      return false;
    case 'settling':
      run.progress = happening.progress;
      return false;
    case 'captured':
    case 'unsteady':
      onSettled(happening);
      return false;
    case 'live':
      if (happening.on) meetLive(turn, 'during');
      return false;
    case 'lift':
      run.lifted = true;
      run.progress = 0;
      onLift();
      if (run.stage === 'touching') run.stage = 'waiting';
      askAfterStanding(turn);
      return leaveWhenLifted(turn);
  }
}

/** Takes the word that an attempt of this kind is on record: its outcome is held until the tips lift. Returns what the task is to return. */
export function stepRecorded(turn: Turn, entry: Entry, kind: CheckKindName): boolean {
  if (turn.run.stage !== 'recording' || !isAttempt(entry) || checkKindOf(entry) !== kind) return false;
  return holdOutcome(turn, entry.outcome, isWorthAnotherTry(turn, entry.outcome));
}
