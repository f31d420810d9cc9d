import { formatReading } from '../../measure/reading/format.ts';
import type { Outcome, Reading } from '../../measure/types.ts';
import { repairsNow } from '../../record/state/addendum.ts';
import type { JobSessionState } from '../../session/job/job-session-state.ts';
import { plainLine } from '../text/plain-line.ts';
import { asReading } from '../words/reading.ts';

/** One check in the list. */
export interface CheckRow {
  id: string;
  title: string;
  /** What stands; null: not done, or to be done again. */
  outcome: Outcome | 'skipped' | null;
  /** What it came to before a repair; null where there was no repair, or nothing before it. */
  before: Outcome | null;
  attempts: number;
  current: boolean;
  /** The latest reading as text; empty where there is none. */
  reading: string;
  /** The outcome rests on proofs that failed or are missing. */
  doubtful: boolean;
}

/** Returns the guide's checks in its order, with what the record holds of each. */
export function checkRows(state: JobSessionState): CheckRow[] {
  const task = state.tasks[state.at];
  return state.guide.checks.map((check) => {
    const seen = state.job.checks[check.id];
    const last = seen?.attempts.at(-1);
    return {
      id: check.id,
      title: plainLine(check.title),
      outcome: seen === undefined ? null : seen.skipped !== null ? 'skipped' : seen.outcome,
      before: repairsNow(state.job).length === 0 ? null : (seen?.before ?? null),
      attempts: seen?.attempts.length ?? 0,
      current: task?.kind === 'check' && task.id === check.id,
      reading:
        last?.reading == null ? '' : formatReading(asReading(last.reading, last.limits?.quantity ?? 'resistance')),
      doubtful: seen?.doubtful ?? false,
    };
  });
}

/** What was recorded last, and why it came out so. */
export interface LastResult {
  /** Id of the check; null of a proof. */
  check: string | null;
  title: string;
  outcome: Outcome;
  why: string;
  reading: Reading | null;
}

/**
 * Returns the result of the task in hand that stands on record (its latest attempt); null when it
 * has none.
 */
export function resultInHand(state: JobSessionState): LastResult | null {
  const task = state.tasks[state.at];
  if (task?.kind === 'proof') {
    const proof = state.job.proofs[task.when][task.what];
    if (proof === undefined) return null;
    const { outcome, why, reading } = proof;
    return { check: null, title: 'probe proof', outcome, why, reading: reading && asReading(reading, 'resistance') };
  }
  return task?.kind === 'check' ? lastOf(state, task.id) : null;
}

/** Returns the latest result of any check of the guide; null before the first. */
export function latestResult(state: JobSessionState): LastResult | null {
  let latest = -1;
  let id: string | null = null;
  for (const check of state.guide.checks) {
    const n = state.job.checks[check.id]?.attempts.at(-1)?.n ?? -1;
    if (n > latest) {
      latest = n;
      id = check.id;
    }
  }
  return id === null ? null : lastOf(state, id);
}

function lastOf(state: JobSessionState, id: string): LastResult | null {
  const last = state.job.checks[id]?.attempts.at(-1);
  if (last === undefined) return null;
  const check = state.guide.checks.find((c) => c.id === id);
  const reading = last.reading && asReading(last.reading, last.limits?.quantity ?? 'resistance');
  return { check: id, title: plainLine(check?.title ?? id), outcome: last.outcome, why: plainLine(last.why), reading };
}
