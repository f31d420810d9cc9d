import type { CheckState, JobState } from '../../record/state/job-state.ts';
import { outcomeWord, whyText } from '../../view/words/outcome.ts';
import { resultWords } from '../../view/words/result.ts';

/**
 * One line of what continuous integration reads. `error`: it stayed unknown, and must not count as
 * passed.
 */
export interface CiCase {
  name: string;
  kind: 'passed' | 'failure' | 'error' | 'skipped';
  message: string;
  /** Number of the entry it rests on; null where there is none. */
  entry: number | null;
}

/** A job as continuous integration gets it. */
export interface CiJob {
  state: JobState;
  /** How many departures `verify` finds in its record. */
  departures: number;
}

/**
 * Returns the cases of a job: one a check, then whether its record verifies, and the job's result
 * last, so that neither a job of which nothing was done nor a record that was tampered with is
 * green.
 */
export function ciCases({ state, departures }: CiJob): CiCase[] {
  return [...Object.values(state.checks).map(checkCase), recordCase(departures), resultCase(state)];
}

function recordCase(departures: number): CiCase {
  const message = `the record does not verify: ${departures} departures; nothing in it is to be relied on`;
  return { name: 'the record verifies', kind: departures === 0 ? 'passed' : 'error', message, entry: null };
}

function checkCase(check: CheckState): CiCase {
  const last = check.attempts.at(-1);
  const entry = last?.n ?? null;
  const doubt = check.doubtful ? ' (rests on a proof that did not hold)' : '';
  if (check.outcome === null) {
    const message = check.skipped === null ? 'not done' : `skipped: ${check.skipped.reason}`;
    return { name: check.id, kind: 'skipped', message, entry };
  }
  const kind = check.doubtful
    ? 'error'
    : check.outcome === 'pass'
      ? 'passed'
      : check.outcome === 'fail'
        ? 'failure'
        : 'error';
  return { name: check.id, kind, message: `${outcomeWord(check.outcome)}: ${whyText(last?.why ?? '')}${doubt}`, entry };
}

function resultCase({ result, closed }: JobState): CiCase {
  const good = closed !== null && (result === 'passed' || result === 'repaired');
  const kind = good ? 'passed' : result === 'failed' ? 'failure' : 'error';
  const message = closed === null ? `${resultWords[result].word}; the job is still open` : resultWords[result].sentence;
  return { name: 'result of the job', kind, message, entry: closed?.n ?? null };
}
