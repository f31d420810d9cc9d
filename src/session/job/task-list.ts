import type { Guide } from '../../guide/types.ts';
import type { ProofKind } from '../../record/entries/entries.ts';
import type { CheckState, JobState } from '../../record/state/job-state.ts';
import { accessOf, guideOrder, orderForFewSetups } from './check-order.ts';

/**
 * One step of a session, in the order in which it is done. `conclusion`: what the checks come to,
 * and what is done about it.
 */
export type Task =
  | { kind: 'caution'; id: string }
  | { kind: 'proof'; when: 'opening' | 'closing'; what: ProofKind }
  | { kind: 'check'; id: string }
  | { kind: 'conclusion' };

/**
 * `guide`: checks in the guide's order. `information`: each time the one that tells most about the
 * decision, per minute.
 */
export type Order = 'guide' | 'information';

/** How a session goes about its checks. */
export interface PlanSettings {
  order: Order;
  /** A conclusion follows the checks. */
  concludes: boolean;
}

const proofKinds: ProofKind[] = ['shorted-tips', 'check-resistor'];
const closingProofs = proofKinds.map((what): Task => ({ kind: 'proof', when: 'closing', what }));

/**
 * Returns the tasks that are left of a job: cautions, opening proofs, checks, conclusion, closing
 * proofs. In the order of information the checks are not planned: each is found when the one before
 * it is done.
 *
 * What the record already holds is not asked again: an acknowledged caution, a proof that passed, a
 * check whose latest attempt has a pass or a fail or that was skipped. After a repair the same
 * checks come first. A fresh job gets everything.
 */
export function planTasks(guide: Guide, job: JobState, planSettings: PlanSettings): Task[] {
  const tasks: Task[] = [];
  for (const caution of guide.cautions) {
    if (!job.cautions.includes(caution.id)) tasks.push({ kind: 'caution', id: caution.id });
  }
  for (const what of proofKinds) {
    if (job.proofs.opening[what]?.outcome !== 'pass') tasks.push({ kind: 'proof', when: 'opening', what });
  }
  return [...tasks, ...checksLeft(guide, job, planSettings), ...tail(planSettings)];
}

/**
 * Returns the tasks after a person chose a check: it comes right after the task in hand (index
 * `at`), then, in the guide's order, that task again if it is a check that is not `done` and the
 * checks that were left, then the end. What came before stays as it was.
 */
export function tasksAfterChoice(
  tasks: readonly Task[],
  at: number,
  check: string,
  done: boolean,
  planSettings: PlanSettings = { order: 'guide', concludes: false },
): Task[] {
  const inHand = tasks[at];
  const from = done || planSettings.order === 'information' ? at + 1 : at;
  const left = tasks.slice(from).filter((task) => task.kind === 'check' && task.id !== check);
  const before = tasks.slice(0, at);
  return [
    ...before,
    ...(inHand === undefined ? [] : [inHand]),
    { kind: 'check', id: check },
    ...left,
    ...tail(planSettings),
  ];
}

/**
 * Returns the tasks after a repair or a swap was put on record: after the one in hand, the same
 * checks again, then the end.
 */
export function tasksAfterRepair(
  guide: Guide,
  job: JobState,
  tasks: readonly Task[],
  at: number,
  planSettings: PlanSettings,
): Task[] {
  return [...tasks.slice(0, at + 1), ...checksLeft(guide, job, planSettings), ...tail(planSettings)];
}

/**
 * Returns true when a check may be chosen while this task is in hand: cautions and opening proofs
 * come before any check.
 */
export function mayChoose(task: Task | null | undefined): boolean {
  return task?.kind === 'check' || task?.kind === 'conclusion' || (task?.kind === 'proof' && task.when === 'closing');
}

/**
 * Returns the checks that wait to be done again after a repair, those that failed first, the device
 * switched as seldom as may be.
 */
export function checksToRedo(guide: Guide, job: JobState): string[] {
  const again = guide.checks.filter(({ id }) => {
    const seen = job.checks[id];
    return seen?.redo === true && seen.outcome === null && seen.skipped === null;
  });
  const failed = (id: string): boolean => hasFailed(job.checks[id]);
  const sorted = [...again.filter(({ id }) => failed(id)), ...again.filter(({ id }) => !failed(id))];
  const [first] = sorted;
  if (first === undefined) return [];
  const ids = sorted.map(({ id }) => id);
  return orderForFewSetups(guide, ids, { power: first.power, access: accessOf(first) });
}

function checksLeft(guide: Guide, job: JobState, { order }: PlanSettings): Task[] {
  const again = checksToRedo(guide, job);
  const unsettled = guide.checks.filter(({ id }) => !isSettled(job.checks[id]) && !again.includes(id));
  const rest =
    order === 'information'
      ? []
      : guideOrder(
          guide,
          unsettled.map(({ id }) => id),
        );
  return [...again, ...rest].map((id): Task => ({ kind: 'check', id }));
}

/** Returns what follows the checks: a conclusion, if one is drawn, and the closing proofs. */
export function tail({ concludes }: PlanSettings): Task[] {
  return concludes ? [{ kind: 'conclusion' }, ...closingProofs] : closingProofs;
}

function hasFailed(seen: CheckState | undefined): boolean {
  return seen !== undefined && seen.failedBefore !== null;
}

function isSettled(seen: CheckState | undefined): boolean {
  if (seen === undefined) return false;
  return seen.skipped !== null || seen.outcome === 'pass' || seen.outcome === 'fail';
}
