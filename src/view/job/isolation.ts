import type { Outcome } from '../../measure/types.ts';
import { repairsNow } from '../../record/state/addendum.ts';
import { checkInHand, type JobSessionState } from '../../session/job/job-session-state.ts';
import { percent } from '../../statistics/percent.ts';
import { plainLine } from '../text/plain-line.ts';
import { conclusionWords } from '../words/conclusion.ts';
import { costLines, minutesText, moneyText } from '../words/plan.ts';

/** One thing that may be wrong, with its probability. */
export interface SuspectRow {
  text: string;
  /** Names of the units that it concerns: what is shown where the text has no room. */
  units: string[];
  share: number;
}

/** The check to do next, and why. */
export interface NextCheck {
  check: string;
  why: string;
}

/** One repair to choose from. */
export interface RepairRow {
  /** Key that chooses it. */
  key: string;
  repair: string;
  name: string;
  /** Chance that it mends the device. */
  chance: string;
  price: string;
  minutes: string;
}

/** What isolation came to, and what may be done about it. */
export interface ConclusionView {
  /** What it is, in a word or two that can be drawn large. */
  word: string;
  saying: string;
  reasons: string[];
  doubt: string | null;
  /** Of a group: what would tell them apart. */
  beyond: string | null;
  repairs: RepairRow[];
  /** Expected cost of the plan beside that of the usual part first. */
  cost: string[];
  /** Titles of checks that were not done or came to nothing. */
  notTested: string[];
  /** Before beside after, of every check that was done again; empty before a repair. */
  changes: { title: string; before: Outcome | null; after: Outcome | null }[];
}

/** Suspects that are shown. */
const shownSuspects = 5;
/** What is less probable than this is not shown. */
const leastShare = 0.005;

/** Returns what may be wrong, most probable first; empty where nothing tells suspects apart. */
export function suspectRows({ insight, guide }: JobSessionState): SuspectRow[] {
  return (insight?.belief.decisions ?? [])
    .slice(0, shownSuspects)
    .filter(({ p }) => p >= leastShare)
    .map(({ name, units, p }) => ({
      text: plainLine(name),
      units: units.map((id) => plainLine(guide.units.find((unit) => unit.id === id)?.name ?? id)),
      share: p,
    }));
}

/**
 * Returns the check that comes next, once what the one in hand came to is known; null when a
 * conclusion comes next.
 */
export function nextCheckOf(state: JobSessionState): NextCheck | null {
  const { insight, guide, run, planSettings } = state;
  if (planSettings.order !== 'information' || run?.outcome == null || run.again || insight?.next == null) return null;
  const check = guide.checks.find(({ id }) => id === insight.next?.check);
  return check === undefined ? null : { check: plainLine(check.title), why: reasonText(insight.next.because) };
}

/** Returns why the check in hand was proposed; null when it was not. */
export function becauseOf(state: JobSessionState): string | null {
  return checkInHand(state) === null || state.because === null ? null : reasonText(state.because);
}

/** A sentence as it stands behind 'because'. */
function reasonText(sentence: string): string {
  const line = plainLine(sentence).replace(/\.$/, '');
  return `${line.charAt(0).toLowerCase()}${line.slice(1)}`;
}

/** What a check came to before a repair. */
export interface BeforeRepair {
  outcome: Outcome;
  why: string;
}

/**
 * Returns what the check in hand came to before the latest repair, while it is done again; null for
 * any other.
 */
export function beforeRepairOf(state: JobSessionState): BeforeRepair | null {
  const check = checkInHand(state);
  const seen = check === null ? undefined : state.job.checks[check.id];
  if (seen?.redo !== true) return null;
  const last = seen.attempts.findLast(({ repairs }) => repairs < state.job.repairs.length);
  return last === undefined ? null : { outcome: last.outcome, why: plainLine(last.why) };
}

/**
 * Returns what isolation came to while it is asked what is to be done about it; null at any other
 * time.
 */
export function conclusionOf(state: JobSessionState): ConclusionView | null {
  const { tasks, at, job, guide } = state;
  const { concluded } = job;
  if (tasks[at]?.kind !== 'conclusion' || concluded === null) return null;
  const { plan } = concluded;
  const { large, short } = conclusionWords(concluded, repairsNow(job).length > 0);
  return {
    word: large,
    saying: plainLine(short),
    reasons: concluded.reasons.map(plainLine),
    doubt: concluded.doubt === null ? null : plainLine(concluded.doubt),
    beyond: concluded.beyond === null ? null : plainLine(concluded.beyond),
    repairs: plan.steps.slice(0, 9).map((step, i) => ({
      key: String(i + 1),
      repair: step.repair,
      name: plainLine(step.name),
      chance: percent(step.p),
      price: moneyText(step.price, null),
      minutes: minutesText(step.minutes),
    })),
    cost: costLines(plan, plan.currency).map(plainLine),
    notTested: concluded.notTested.map((id) => plainLine(guide.checks.find((check) => check.id === id)?.title ?? id)),
    changes: changesOf(state),
  };
}

/**
 * Returns what isolation came to in one line, while the closing proofs are in hand; null at any
 * other time.
 */
export function concludedLine({ tasks, at, job }: JobSessionState): string | null {
  const task = tasks[at];
  if (job.concluded === null || task?.kind !== 'proof' || task.when !== 'closing') return null;
  const { notTested } = job.concluded;
  const untested = notTested.length === 0 ? '' : `; ${notTested.length} checks not done`;
  return `${plainLine(conclusionWords(job.concluded, repairsNow(job).length > 0).short)}${untested}`;
}

/** Returns every check that was done before a repair, with what it came to then and since. */
function changesOf({ guide, job }: JobSessionState): ConclusionView['changes'] {
  if (repairsNow(job).length === 0) return [];
  return guide.checks.flatMap(({ id, title }) => {
    const seen = job.checks[id];
    return seen?.redo === true ? [{ title: plainLine(title), before: seen.before, after: seen.after }] : [];
  });
}
