import type { JobCounts, JobResult, NewEntry } from '../entries/entries.ts';
import { repairsNow } from './addendum.ts';
import type { CheckState, JobState } from './job-state.ts';
import { worstStanding } from './proof-spans.ts';

/** Returns the state with everything that follows from its checks and proofs worked out anew. */
export function derive(state: JobState): JobState {
  const checks = Object.create(null) as Record<string, CheckState>;
  for (const [id, check] of Object.entries(state.checks)) {
    const doubtful = isDoubtful(state, check);
    checks[id] = doubtful === check.doubtful ? check : { ...check, doubtful };
  }
  const listed = Object.values(checks).filter((check) => check.inGuide);
  const next = { ...state, checks };
  const current = state.spans.at(-1);
  next.proofs = {
    opening: current?.opening ?? {},
    closing: current?.closing ?? {},
    standing: proofStanding(state, listed),
  };
  next.doubtful = listed.some((check) => check.doubtful);
  next.unfinished = listed.filter((check) => isUnfinished(check)).map((check) => check.id);
  next.counts = countsOf(next, listed);
  next.result = resultOf(next);
  return next;
}

/**
 * Returns what the entries of a job bear out, as if it were closed now.
 *
 * - `abandoned`: it was closed as abandoned. An addendum that was abandoned before anything was done
 *   leaves the result as it was.
 * - `failed`: some check of the guide stands at a fail, and that fail is not doubtful: proofs at
 *   both ends held, or it was seen with the eyes.
 * - `repaired`: a fail that rests on proofs which held (or was seen), or an unsteady touch that
 *   does and from which isolation had concluded a fault, stood when a repair was done; now every
 *   check that said something before the repair stands at a pass, no check stands at anything else,
 *   and the proofs held.
 * - `passed`: the guide has checks, every one of them stands at a pass, and the proofs held.
 *   Skipped, borderline, unsteady, no contact, live and not done are no pass.
 * - `no-fault-found`: isolation concluded that nothing is wrong, on what stands now; some check was
 *   done, none stands at anything but a pass, some were not done, and the proofs held. It is no
 *   pass.
 * - `inconclusive`: everything else. In particular nothing rests on a probe whose closing proof
 *   failed or is missing.
 *
 * What a `closed` entry claims is not looked at beyond `abandoned`.
 */
function resultOf(state: JobState): JobResult {
  if (state.closed?.result === 'abandoned') return state.resultBefore ?? 'abandoned';
  const listed = Object.values(state.checks).filter((check) => check.inGuide);
  if (listed.some((check) => check.outcome === 'fail' && restsOnProofs(state, check))) return 'failed';
  if (state.proofs.standing !== 'held') return 'inconclusive';
  const donePass = listed.every((check) => check.outcome === 'pass' || (check.outcome === null && !check.redo));
  if (donePass && repairsNow(state).length > 0 && listed.some((check) => failBeforeRests(state, check)))
    return 'repaired';
  if (listed.length > 0 && listed.every((check) => check.outcome === 'pass')) return 'passed';
  const someDone = listed.some((check) => check.outcome === 'pass');
  // what was unknown before a repair is not known to have been nothing
  const soundBefore = listed.every(({ before }) => before === null || before === 'pass');
  const isNone = state.concluded?.conclusion === 'none';
  return donePass && someDone && soundBefore && isNone ? 'no-fault-found' : 'inconclusive';
}

function failBeforeRests(state: JobState, { failedBefore, attempts }: CheckState): boolean {
  const attempt = failedBefore === null ? undefined : attempts[failedBefore];
  if (attempt === undefined) return false;
  return attempt.span === null || state.spans[attempt.span]?.standing === 'held';
}

/**
 * Returns the entry that closes a job as its state bears out; `abandoned` when the person gave it
 * up. `why`: in words.
 */
export function closingEntry(
  state: JobState,
  why: string,
  how: { abandoned?: boolean } = {},
): Extract<NewEntry, { kind: 'closed' }> {
  return {
    kind: 'closed',
    result: how.abandoned === true ? 'abandoned' : state.result,
    proofs: state.proofs.standing,
    counts: state.counts,
    why,
  };
}

/** Returns true when a check was neither passed nor failed nor skipped. */
function isUnfinished(check: CheckState): boolean {
  return check.skipped === null && check.outcome !== 'pass' && check.outcome !== 'fail';
}

function isDoubtful(state: JobState, check: CheckState): boolean {
  const span = latestSpan(state, check);
  if (check.outcome === null || span === null) return false;
  return span.standing === 'failed' || (state.closed !== null && span.standing === 'missing');
}

function restsOnProofs(state: JobState, check: CheckState): boolean {
  const latest = check.attempts.at(-1);
  if (latest === undefined) return false;
  return latest.span === null || state.spans[latest.span]?.standing === 'held';
}

function latestSpan(state: JobState, check: CheckState) {
  const latest = check.attempts.at(-1);
  if (latest === undefined || latest.span === null) return null;
  return state.spans[latest.span] ?? null;
}

/** The worst of the spans that outcomes rest on; with no measured outcome, the current span. */
function proofStanding(state: JobState, listed: CheckState[]) {
  const spans = listed.filter((check) => check.outcome !== null).map((check) => latestSpan(state, check));
  const standings = spans.filter((span) => span !== null).map((span) => span.standing);
  const current = state.spans.at(-1);
  return worstStanding(standings.length > 0 ? standings : current === undefined ? [] : [current.standing]);
}

/** Counts of a job without entries. */
export const noCounts: JobCounts = {
  checks: 0,
  passed: 0,
  failed: 0,
  undecided: 0,
  skipped: 0,
  notDone: 0,
  attempts: 0,
  gaps: 0,
  live: 0,
};

function countsOf(state: JobState, listed: CheckState[]): JobCounts {
  const counts = { ...noCounts, checks: listed.length, gaps: state.gaps.length, live: state.live.length };
  for (const check of listed) {
    counts.attempts += check.attempts.length;
    if (check.outcome === 'pass') counts.passed += 1;
    else if (check.outcome === 'fail') counts.failed += 1;
    else if (check.skipped !== null) counts.skipped += 1;
    else if (check.outcome !== null) counts.undecided += 1;
    else counts.notDone += 1;
  }
  return counts;
}
