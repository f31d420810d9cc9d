import type { Guide } from '../guide/types.ts';
import type { ProofKind } from '../job/entries.ts';
import type { JobState } from '../job/job-state.ts';

/** One step of a session, in the order in which it is done. */
export type Task =
  | { kind: 'caution'; id: string }
  | { kind: 'proof'; when: 'opening' | 'closing'; what: ProofKind }
  | { kind: 'check'; id: string };

const proofKinds: ProofKind[] = ['shorted-tips', 'check-resistor'];

/**
 * Returns the tasks that are left of a job: cautions, opening proofs, checks in the guide's order, closing proofs.
 *
 * What the record already holds is not asked again: an acknowledged caution, a proof that passed, a check whose latest
 * attempt has a pass or a fail or that was skipped. A fresh job gets everything.
 */
export function planTasks(guide: Guide, job: JobState): Task[] {
  const tasks: Task[] = [];
  for (const caution of guide.cautions) {
    if (!job.cautions.includes(caution.id)) tasks.push({ kind: 'caution', id: caution.id });
  }
  for (const what of proofKinds) {
    if (job.proofs.opening[what]?.outcome !== 'pass') tasks.push({ kind: 'proof', when: 'opening', what });
  }
  for (const check of guide.checks) {
    if (!isSettled(job, check.id)) tasks.push({ kind: 'check', id: check.id });
  }
  for (const what of proofKinds) tasks.push({ kind: 'proof', when: 'closing', what });
  return tasks;
}

/**
 * Returns the tasks after a person chose a check: it comes right after the task in hand (index `at`), then that task again if it
 * is a check that is not `done`, then the checks that were left, then both closing proofs. What came before stays as it was.
 */
export function tasksAfterChoice(tasks: readonly Task[], at: number, check: string, done: boolean): Task[] {
  const inHand = tasks[at];
  const left = tasks.slice(done ? at + 1 : at).filter((task) => task.kind === 'check' && task.id !== check);
  const closing = proofKinds.map((what): Task => ({ kind: 'proof', when: 'closing', what }));
  const before = tasks.slice(0, at);
  return [...before, ...(inHand === undefined ? [] : [inHand]), { kind: 'check', id: check }, ...left, ...closing];
}

/** Returns true when a check may be chosen while this task is in hand: cautions and opening proofs come before any check. */
export function mayChoose(task: Task | null | undefined): boolean {
  return task?.kind === 'check' || (task?.kind === 'proof' && task.when === 'closing');
}

function isSettled(job: JobState, check: string): boolean {
  const seen = job.checks[check];
  if (seen === undefined) return false;
  return seen.skipped !== null || seen.outcome === 'pass' || seen.outcome === 'fail';
}
