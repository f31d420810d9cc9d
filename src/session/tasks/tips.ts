import type { CheckKindName } from '../../guide/types.ts';
import type { ContactEvent } from '../../measure/types.ts';
import type { Entry } from '../../record/entries/entries.ts';
import { checkKindOf, isAttempt } from '../../record/kinds/stored-kinds.ts';
import type { JobStep } from '../job/job-step.ts';
import { isWorthAnotherTry } from './handler.ts';
import { askAfterStanding } from './lift-first.ts';
import { holdOutcome, leaveWhenLifted } from './lifting.ts';
import { meetLive } from './voltage-on-tips.ts';

/** A touch that has settled, or was given the time to: what a task decides on by itself. */
export type SettledEvent = Extract<ContactEvent, { kind: 'captured' | 'unsteady' }>;

/** Returns whether a touch is waited for or under way, so that what settles is the task's. */
export function isTouching({ run }: JobStep): boolean {
  return !run.abandoned && (run.stage === 'waiting' || run.stage === 'touching');
}

/**
 * Takes what the tips do: touching, settling, a voltage, lifting. Returns what the task is to
 * return.
 *
 * `onSettled` gets a touch that has settled or could not; `onLift` is called for a lift before the
 * task goes on from it.
 */
export function stepTips(
  step: JobStep,
  contactEvent: ContactEvent,
  onSettled: (settled: SettledEvent) => void,
  onLift: () => void = () => undefined,
): boolean {
  const { run } = step;
  switch (contactEvent.kind) {
    case 'make':
      if (run.stage === 'waiting') run.stage = 'touching';
      run.lifted = false;
      run.lost = 0;
      return false;
    case 'settling':
      run.progress = contactEvent.progress;
      return false;
    case 'captured':
    case 'unsteady':
      onSettled(contactEvent);
      return false;
    case 'live':
      if (contactEvent.on) meetLive(step, 'during');
      return false;
    case 'lift':
      run.lifted = true;
      run.progress = 0;
      onLift();
      if (run.stage === 'touching') run.stage = 'waiting';
      askAfterStanding(step);
      return leaveWhenLifted(step);
  }
}

/**
 * Takes the word that an attempt of this kind is on record: its outcome is held until the tips
 * lift. Returns what the task is to return.
 */
export function stepRecorded(step: JobStep, entry: Entry, kind: CheckKindName): boolean {
  if (step.run.stage !== 'recording' || !isAttempt(entry) || checkKindOf(entry) !== kind) return false;
  return holdOutcome(step, entry.outcome, isWorthAnotherTry(step, entry.outcome));
}
