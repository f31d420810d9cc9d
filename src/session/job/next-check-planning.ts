import type { Situation } from '../../isolate/types.ts';
import { repairsNow } from '../../record/state/addendum.ts';
import { checksDoneAgain } from '../../record/state/evidence-history.ts';
import { accessOf } from './check-order.ts';
import { checkInHand, type JobSessionState } from './job-session-state.ts';
import type { JobStep } from './job-step.ts';
import { checksToRedo } from './task-list.ts';

/** Works out anew what is believed of the device, and what would come next. */
export function believeAnew(step: JobStep): void {
  const { state } = step;
  const belief = state.isolator?.believe(state.job);
  state.insight =
    belief === undefined || 'what' in belief ? null : { belief, next: null, situation: situationOf(state) };
  lookAhead(step);
}

/**
 * Works out what would come next as the bench stands now; what is known already is not worked out
 * again.
 */
function lookAhead(step: JobStep): void {
  const { state } = step;
  const { insight, isolator, job } = state;
  if (insight === null || isolator === null || state.planSettings.order !== 'information') return;
  const situation = situationOf(state);
  if (insight.next !== null && isSame(insight.situation, situation)) return;
  const next = isolator.next(job, insight.belief, situation);
  state.insight = { ...insight, next, situation };
}

/**
 * Puts what is to be done before the conclusion in front of it: checks that a repair made void,
 * then the one that tells most. Nothing happens while the task in hand is another one.
 */
export function putNextCheck(step: JobStep): void {
  const { state } = step;
  state.because = null;
  if (step.task?.kind !== 'conclusion' || state.planSettings.order !== 'information' || state.enough) return;
  const redo = checksToRedo(state.guide, state.job)[0];
  if (redo !== undefined) {
    // asked for again after a repair; what it came to before is told with it
    insert(state, redo);
    return;
  }
  lookAhead(step);
  const next = state.insight?.next ?? null;
  if (next === null) return;
  state.because = next.because;
  // what it said before counts no more
  if (next.again === true) step.append({ kind: 'repeat', check: next.check, by: 'option' });
  insert(state, next.check);
}

/**
 * Returns true when a repair has done it: whatever was said before it stands at a pass now, and
 * nothing else is open.
 */
export function isMended({ job, guide }: JobSessionState): boolean {
  const seen = guide.checks.map(({ id }) => job.checks[id]).filter((check) => check !== undefined);
  return (
    repairsNow(job).length > 0 &&
    seen.some((check) => check.failedBefore !== null) &&
    seen.every((check) => check.outcome === 'pass' || (check.outcome === null && !check.redo))
  );
}

/**
 * Returns what a next check has to reckon with: how the device stands, and checks that are done,
 * skipped, or in hand.
 */
export function situationOf(state: JobSessionState): Situation {
  const { power, access, job, guide } = state;
  const inHand = checkInHand(state);
  const done = guide.checks
    .filter(({ id }) => {
      const seen = job.checks[id];
      return id === inHand?.id || (seen !== undefined && (seen.outcome !== null || seen.skipped !== null));
    })
    .map(({ id }) => id);
  return {
    power: inHand?.power ?? power,
    access: inHand === null ? access : accessOf(inHand),
    done,
    again: checksDoneAgain(job),
  };
}

function insert(state: JobSessionState, check: string): void {
  state.tasks = [...state.tasks.slice(0, state.at), { kind: 'check', id: check }, ...state.tasks.slice(state.at)];
}

function isSame(a: Situation, b: Situation): boolean {
  return (
    a.power === b.power &&
    a.access === b.access &&
    [a.done, a.again ?? []].join('\n') === [b.done, b.again ?? []].join('\n')
  );
}
