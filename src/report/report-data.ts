import type { Guide } from '../guide/types.ts';
import { formatLimits } from '../measure/reading/format.ts';
import type { Limits, Outcome } from '../measure/types.ts';
import type { Entry, EntryOf, StoredReading } from '../record/entries/entries.ts';
import { type Customer, customerOf } from '../record/entries/personal-data.ts';
import { repairsNow } from '../record/state/addendum.ts';
import type { AttemptResult, CheckState, JobState } from '../record/state/job-state.ts';
import type { ReadResult } from '../record/store/read-record.ts';
import { type BeliefAfter, believedOver, guideIn } from '../verify/conclusions/believed.ts';
import { verifyWhole } from '../verify/conclusions/verify-conclusions.ts';
import type { VerifyReport } from '../verify/verify-report.ts';
import { type InShort, inShort } from '../view/words/in-short.ts';
import { type ShownValue, shownValue } from '../view/words/reading.ts';
import { type PathPart, pathOf } from './pictures/device-path.ts';

/** How a check stood at one time: before the first repair, or after the last. */
export interface ReportedOutcome {
  outcome: Outcome;
  shown: ShownValue | null;
  why: string;
  /** Number of the entry. */
  n: number;
}

/** One check, before beside after. */
export interface CheckLine {
  id: string;
  title: string;
  kind: string;
  /** The two pads, `S1 - J1`; empty for what is only looked at. */
  pads: string;
  limits: Limits | null;
  limitsText: string;
  before: ReportedOutcome | null;
  after: ReportedOutcome | null;
  /** Neither passed nor failed: why, in words; else null. */
  open: string | null;
  doubtful: boolean;
}

/** Everything that a report shows, as plain data. */
export interface ReportData {
  job: string;
  title: string;
  device: EntryOf<'opened'>['device'];
  ticket: string | null;
  symptom: string | null;
  technician: string | null;
  customer: Customer;
  openedAt: string;
  closedAt: string | null;
  tool: string;
  state: JobState;
  entries: readonly Entry[];
  guide: Guide | null;
  short: InShort;
  checks: CheckLine[];
  path: PathPart[];
  /** What was to be believed after each attempt and repair. */
  beliefs: BeliefAfter[];
  verified: VerifyReport;
  /** There was a repair, so before and after differ. */
  hasAfter: boolean;
}

/**
 * Returns what a report of a record shows, or null when the record does not begin with the opening
 * of a job.
 */
export function reportData(read: ReadResult): ReportData | null {
  const { state, entries } = read;
  const { opened } = state;
  if (opened === null) return null;
  const guide = guideIn(entries);
  const believed = guide === null ? [] : believedOver(guide, entries);
  const hasAfter = repairsNow(state).length > 0;
  const apart = read.parsed.lines.find(({ entry }) => entry.kind === 'customer')?.apart ?? {};
  return {
    job: opened.job,
    title: opened.guide.title,
    device: opened.device,
    ticket: opened.ticket ?? null,
    symptom: opened.symptom ?? null,
    technician: opened.technician ?? null,
    customer: customerOf(apart),
    openedAt: opened.at,
    closedAt: state.closed?.at ?? null,
    tool: opened.tool,
    state,
    entries,
    guide,
    short: inShort(state, entries, guide),
    checks: Object.values(state.checks).map((check) => checkLine(check, guide, state)),
    path: guide === null ? [] : pathOf(guide, state, entries, believed),
    beliefs: believed.filter(({ entry }) => entry.kind !== 'concluded'),
    verified: verifyWhole(read.bytes, { beliefs: believed }),
    hasAfter,
  };
}

function checkLine(check: CheckState, guide: Guide | null, state: JobState): CheckLine {
  const hasAfter = repairsNow(state).length > 0;
  // of the visit at hand: what was measured before the device came back is history
  const from = state.returned ?? { n: 0, repairs: 0 };
  const inGuide = guide?.checks.find(({ id }) => id === check.id);
  const pads = inGuide?.pads === undefined ? '' : inGuide.pads.join(' \u2013 ');
  const valid = check.attempts.slice(check.withdrawn);
  const before = lastOf(
    hasAfter ? check.attempts.filter(({ n, repairs }) => n > from.n && repairs === from.repairs) : valid,
  );
  const after = hasAfter ? lastOf(valid.filter(({ repairs }) => repairs > from.repairs)) : null;
  const limits = (after ?? before)?.limits ?? null;
  return {
    id: check.id,
    title: check.title,
    kind: check.kind,
    pads,
    limits,
    limitsText: limits === null ? '' : formatLimits(limits),
    before: standing(before),
    after: standing(after),
    open: whyOpen(check),
    doubtful: check.doubtful,
  };
}

function lastOf(attempts: readonly AttemptResult[]): AttemptResult | null {
  return attempts.at(-1) ?? null;
}

function standing(attempt: AttemptResult | null): ReportedOutcome | null {
  if (attempt === null) return null;
  const { outcome, why, n, reading, limits } = attempt;
  return { outcome, why, n, shown: shownOf(reading, limits) };
}

function shownOf(reading: StoredReading | null, limits: Limits | null): ShownValue | null {
  return reading === null || limits === null ? null : shownValue(reading, limits.quantity);
}

function whyOpen(check: CheckState): string | null {
  if (check.outcome === 'pass' || check.outcome === 'fail') return null;
  if (check.skipped !== null) return `skipped: ${check.skipped.reason}`;
  return check.outcome === null ? 'not done' : null;
}
