import type { Entry } from '../../record/entries/entries.ts';
import { handlerOf } from '../tasks/registry.ts';
import type { BenchEvent, By } from './job-session-state.ts';
import { mayChoose, tail, tasksAfterChoice } from './task-list.ts';
import type { Turn } from './transition.ts';

// What a person (or the probe's button) wants other than the task's own course. Each function returns true when the session should
// go on to what comes next; else the task in hand first waits for the tips to lift.

/** Skips the check in hand, with a reason; it is left once that is on record, so that what comes next reckons with it. */
export function skip(turn: Turn, reason: string, by: By): boolean {
  const task = turn.task;
  if (task?.kind !== 'check' || turn.run.stage === 'recording') return false;
  turn.append({ kind: 'skipped', check: task.id, reason, by });
  turn.run.leaving = true;
  turn.run.abandoned = true;
  return false;
}

/** Does the check in hand again; the latest attempt is not relied on any more. */
export function repeat(turn: Turn, by: By): boolean {
  const task = turn.task;
  if (task?.kind !== 'check' || turn.run.stage === 'recording') return false;
  turn.append({ kind: 'repeat', check: task.id, by });
  turn.run.again = true;
  return turn.run.stage === 'lifting' ? turn.run.lifted : true;
}

/**
 * Goes to a check that a person chose; the one in hand is left for later. A check that stands on record is put there as repeated, so
 * its old outcome counts no more. Refused while cautions or opening proofs are in hand: they come before any check.
 */
export function jump(turn: Turn, check: string): boolean {
  const { state, run, task } = turn;
  const known = state.guide.checks.some((c) => c.id === check);
  if (!known || !mayChoose(task) || run.stage === 'recording') return false;
  if (task?.kind === 'check' && task.id === check) return repeat(turn, 'person');
  const seen = state.job.checks[check];
  if (seen !== undefined && (seen.outcome !== null || seen.skipped !== null)) {
    turn.append({ kind: 'repeat', check, by: 'person' });
  }
  const isDone = run.stage === 'lifting' && !run.again;
  state.enough = false;
  state.tasks = tasksAfterChoice(state.tasks, state.at, check, isDone, state.course);
  return giveUp(turn);
}

/** Does no more checks: the conclusion comes next, from what is known. */
export function concludeNow(turn: Turn): boolean {
  const { state, run, task } = turn;
  if (task?.kind !== 'check' || !state.course.concludes || run.stage === 'recording') return false;
  state.enough = true;
  state.tasks = [...state.tasks.slice(0, state.at + 1), ...tail(state.course)];
  return giveUp(turn);
}

/** A unit was swapped for a known-good one: it goes on record, and what was done is then to be done again. */
export function swap(turn: Turn, unit: string, by: By): boolean {
  const { state, run, task } = turn;
  const name = state.guide.units.find((u) => u.id === unit)?.name;
  if (name === undefined || !mayChoose(task) || run.stage === 'recording') return false;
  run.leaving = true;
  run.abandoned = true;
  turn.append({ kind: 'repair', what: 'swap', repair: null, unit, text: `${name} swapped for a known-good one`, by });
  return false;
}

/** Returns true when an entry that is on record now ends the task in hand: its check was skipped, or a unit was swapped. */
export function endsTask(turn: Turn, entry: Entry): boolean {
  if (entry.kind === 'repair') return entry.what === 'swap';
  return entry.kind === 'skipped' && turn.task?.kind === 'check' && turn.task.id === entry.check;
}

/** Takes nothing from now on. A touch that is on record already stays watched until it lifts: a drop-out in it is evidence. */
export function pause(turn: Turn): void {
  turn.state.paused = true;
  const { run } = turn;
  if (run.stage !== 'recording' && run.stage !== 'lifting') run.abandoned = true;
}

/** What counts while paused: what was being stored, and what the tips do. */
export function steerPaused(turn: Turn, event: BenchEvent): boolean {
  if (turn.task === null || (event.type !== 'appended' && event.type !== 'happening')) return false;
  return handlerOf(turn.state.guide, turn.task).on(turn, event);
}

/** Goes on: a recorded touch where it stands, anything else from its beginning, once the tips are up. */
export function resume(turn: Turn): boolean {
  const { state, run } = turn;
  state.paused = false;
  if (run.stage === 'recording' || run.stage === 'lifting') return false;
  run.again = true;
  // the try that the pause cut short does not count
  state.tries = Math.max(0, state.tries - 1);
  if (run.stage === 'live') return run.lifted && !state.live;
  return run.lifted ? true : liftFirst(turn);
}

/** Leaves the task in hand as it stands; false while the tips have to lift first. */
export function giveUp(turn: Turn): boolean {
  const { run, state } = turn;
  run.again = false;
  run.abandoned = true;
  run.leaving = false;
  if (run.stage === 'live' && (state.live || !run.lifted)) return false;
  return run.lifted ? true : liftFirst(turn);
}

function liftFirst(turn: Turn): boolean {
  turn.run.stage = 'lifting';
  turn.prompt({ act: 'lift' });
  return false;
}
