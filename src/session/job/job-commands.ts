import type { Entry } from '../../record/entries/entries.ts';
import { handlerOf } from '../tasks/registry.ts';
import type { By, JobSessionEvent } from './job-session-state.ts';
import type { JobStep } from './job-step.ts';
import { mayChoose, tail, tasksAfterChoice } from './task-list.ts';

// What a person (or the probe's button) wants other than the task's own plan. Each function returns
// true when the session should go on to what comes next; else the task in hand first waits for the
// tips to lift.

/**
 * Skips the check in hand, with a reason; it is left once that is on record, so that what comes
 * next reckons with it.
 */
export function skip(step: JobStep, reason: string, by: By): boolean {
  const task = step.task;
  if (task?.kind !== 'check' || step.run.stage === 'recording') return false;
  step.append({ kind: 'skipped', check: task.id, reason, by });
  step.run.leaving = true;
  step.run.abandoned = true;
  return false;
}

/** Does the check in hand again; the latest attempt is not relied on any more. */
export function repeat(step: JobStep, by: By): boolean {
  const task = step.task;
  if (task?.kind !== 'check' || step.run.stage === 'recording') return false;
  step.append({ kind: 'repeat', check: task.id, by });
  step.run.again = true;
  return step.run.stage === 'lifting' ? step.run.lifted : true;
}

/**
 * Goes to a check that a person chose; the one in hand is left for later. A check that stands on
 * record is put there as repeated, so its old outcome counts no more. Refused while cautions or
 * opening proofs are in hand: they come before any check.
 */
export function jump(step: JobStep, check: string): boolean {
  const { state, run, task } = step;
  const known = state.guide.checks.some((c) => c.id === check);
  if (!known || !mayChoose(task) || run.stage === 'recording') return false;
  if (task?.kind === 'check' && task.id === check) return repeat(step, 'person');
  const seen = state.job.checks[check];
  if (seen !== undefined && (seen.outcome !== null || seen.skipped !== null)) {
    step.append({ kind: 'repeat', check, by: 'person' });
  }
  const isDone = run.stage === 'lifting' && !run.again;
  state.enough = false;
  state.tasks = tasksAfterChoice(state.tasks, state.at, check, isDone, state.planSettings);
  return giveUp(step);
}

/** Does no more checks: the conclusion comes next, from what is known. */
export function concludeNow(step: JobStep): boolean {
  const { state, run, task } = step;
  if (task?.kind !== 'check' || !state.planSettings.concludes || run.stage === 'recording') return false;
  state.enough = true;
  state.tasks = [...state.tasks.slice(0, state.at + 1), ...tail(state.planSettings)];
  return giveUp(step);
}

/**
 * A unit was swapped for a known-good one: it goes on record, and what was done is then to be done
 * again.
 */
export function swap(step: JobStep, unit: string, by: By): boolean {
  const { state, run, task } = step;
  const name = state.guide.units.find((u) => u.id === unit)?.name;
  if (name === undefined || !mayChoose(task) || run.stage === 'recording') return false;
  run.leaving = true;
  run.abandoned = true;
  step.append({ kind: 'repair', what: 'swap', repair: null, unit, text: `${name} swapped for a known-good one`, by });
  return false;
}

/**
 * Returns true when an entry that is on record now ends the task in hand: its check was skipped, or
 * a unit was swapped.
 */
export function endsTask(step: JobStep, entry: Entry): boolean {
  if (entry.kind === 'repair') return entry.what === 'swap';
  return entry.kind === 'skipped' && step.task?.kind === 'check' && step.task.id === entry.check;
}

/**
 * Takes nothing from now on. A touch that is on record already stays watched until it lifts: a
 * drop-out in it is evidence.
 */
export function pause(step: JobStep): void {
  step.state.paused = true;
  const { run } = step;
  if (run.stage !== 'recording' && run.stage !== 'lifting') run.abandoned = true;
}

/** What counts while paused: what was being stored, and what the tips do. */
export function steerPaused(step: JobStep, event: JobSessionEvent): boolean {
  if (step.task === null || (event.type !== 'appended' && event.type !== 'contact')) return false;
  return handlerOf(step.state.guide, step.task).on(step, event);
}

/**
 * Goes on: a recorded touch where it stands, anything else from its beginning, once the tips are
 * up.
 */
export function endPause(step: JobStep): boolean {
  const { state, run } = step;
  state.paused = false;
  if (run.stage === 'recording' || run.stage === 'lifting') return false;
  run.again = true;
  // the try that the pause cut short does not count
  state.tries = Math.max(0, state.tries - 1);
  if (run.stage === 'live') return run.lifted && !state.live;
  return run.lifted ? true : liftFirst(step);
}

/** Leaves the task in hand as it stands; false while the tips have to lift first. */
export function giveUp(step: JobStep): boolean {
  const { run, state } = step;
  run.again = false;
  run.abandoned = true;
  run.leaving = false;
  if (run.stage === 'live' && (state.live || !run.lifted)) return false;
  return run.lifted ? true : liftFirst(step);
}

function liftFirst(step: JobStep): boolean {
  step.run.stage = 'lifting';
  step.prompt({ act: 'lift' });
  return false;
}
