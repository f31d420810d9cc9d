import type { Entry, EntryOf, JobResult } from '../entries/entries.ts';
import type { CheckState, JobState } from './job-state.ts';
import { separated } from './proof-spans.ts';

/**
 * Returns the repairs since the device came back last; all of them when it never did.
 */
export function repairsNow({ repairs, returned }: Pick<JobState, 'repairs' | 'returned'>): JobState['repairs'] {
  return repairs.slice(returned?.repairs ?? 0);
}

/**
 * Opens a closed job again: the probe proves itself anew, and the cautions are shown anew. When the
 * device was away, no outcome stands and nothing before is evidence any more. `result`: what the job
 * came to before.
 */
export function addTo(state: JobState, entry: EntryOf<'addendum'>, result: JobResult): void {
  state.resultBefore = entry.what === 'continued' ? result : null;
  state.addenda = [...state.addenda, entry];
  state.emulated ||= entry.emulated === true;
  state.closed = null;
  state.signed = null;
  state.power = null;
  state.cautions = [];
  state.spans = separated(state.spans);
  if (entry.what === 'continued') return;
  state.returned = { n: entry.n, repairs: state.repairs.length };
  state.concluded = null;
  const checks = Object.create(null) as Record<string, CheckState>;
  for (const [id, check] of Object.entries(state.checks)) {
    const none = { outcome: null, before: null, after: null, skipped: null, failedBefore: null, redo: false };
    checks[id] = { ...check, ...none, withdrawn: check.attempts.length };
  }
  state.checks = checks;
}

/** Whether something was repaired or swapped after an entry. */
export function isRepairedAfter({ n }: Pick<Entry, 'n'>, repairs: JobState['repairs']): boolean {
  return (repairs.at(-1)?.n ?? 0) > n;
}
