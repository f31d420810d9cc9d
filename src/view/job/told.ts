import { printable } from '../../errors/printable.ts';
import type { Prompt } from '../../ports/prompt.ts';
import type { Entry } from '../../record/entries/entries.ts';
import { isAttempt } from '../../record/kinds/stored-kinds.ts';
import { repairsNow } from '../../record/state/addendum.ts';
import { checkInHand, type JobSessionState } from '../../session/job/job-session-state.ts';
import { percent } from '../../statistics/percent.ts';
import { conclusionLines } from '../words/conclusion.ts';
import { entryLine } from '../words/entry.ts';
import { linkWords } from '../words/link.ts';
import { promptLines } from '../words/prompt.ts';
import { becauseOf, beforeRepairOf, suspectRows } from './isolation.ts';

/**
 * What a session tells one after another, in whole lines. Plain lines print it; a face that can
 * show more has it in its view too. Lines hold no control characters; some begin with blanks.
 */
export interface ToldView {
  /** Names the task in hand: another task has another name. */
  task: string;
  /** The link; `ok`: a probe is connected. */
  link: { ok: boolean; line: string };
  /** Entries that this session put on record last, the oldest first. */
  stored: StoredView[];
  /** What is likely, in one line; null where nothing tells suspects apart. */
  likely: string | null;
  /** Why the check in hand comes now: what it tells, or what it came to before a repair. */
  proposed: string[];
  /** What was asked of the hands last; null before the first prompt. */
  asked: AskedView | null;
}

/** One entry of the record. */
export interface StoredView {
  /** Its number in the record. */
  n: number;
  /** It may have changed what is likely. */
  isAttempt: boolean;
  /** None: it says nothing to a reader. */
  lines: string[];
}

/** One prompt in its long form. */
export interface AskedView {
  /** The prompt's id; a prompt that is asked for again keeps it. */
  id: string;
  act: Prompt['act'];
  /** The same prompt was asked before. */
  isAgain: boolean;
  /** The first one says what it is about. */
  lines: string[];
}

/** Returns what a session tells; without its readings and its keyboard. */
export function toldView(state: JobSessionState): ToldView {
  return {
    task: taskName(state),
    link: { ok: state.connected, line: linkWords(state).line },
    stored: state.latest.map((entry) => storedView(entry, state)),
    likely: likelyLine(state),
    proposed: proposedLines(state),
    asked: state.asked === null ? null : askedView(state.asked, state),
  };
}

/** Returns whether a state may tell something that the one before it did not; most only move the clock. */
export function tellsMore(before: JobSessionState, now: JobSessionState): boolean {
  const told = ['latest', 'asked', 'connected', 'linkText', 'tasks', 'at', 'because'] as const;
  return told.some((part) => before[part] !== now[part]);
}

function taskName({ tasks, at }: JobSessionState): string {
  const task = tasks[at];
  const which = task === undefined || !('id' in task) ? '' : ` ${task.id}`;
  return `${at} ${task?.kind ?? 'none'}${which}`;
}

function storedView(entry: Entry, { job, guide }: JobSessionState): StoredView {
  const isRepaired = repairsNow(job).some(({ n }) => n < entry.n);
  const titleOf = (id: string): string => guide.checks.find((check) => check.id === id)?.title ?? id;
  const line = entryLine(entry, isRepaired);
  const lines = entry.kind === 'concluded' ? conclusionLines(entry, titleOf, isRepaired) : line === null ? [] : [line];
  return { n: entry.n, isAttempt: isAttempt(entry), lines: lines.map(printable) };
}

function likelyLine(state: JobSessionState): string | null {
  const shares = suspectRows(state).map(({ text, share }) => `${text} ${percent(share)}`);
  return shares.length === 0 ? null : `likely: ${shares.join(', ')}`;
}

function proposedLines(state: JobSessionState): string[] {
  const check = checkInHand(state);
  if (check === null) return [];
  const because = becauseOf(state);
  const before = beforeRepairOf(state);
  const lines: string[] = [];
  if (because !== null) lines.push(`next: ${check.title}, because ${because}`);
  if (before !== null) lines.push(`again: ${check.title}; before the repair ${before.outcome}, ${before.why}`);
  return lines.map(printable);
}

function askedView(prompt: Prompt, { guide }: JobSessionState): AskedView {
  const { id, act, again = false } = prompt;
  return {
    id,
    act,
    isAgain: again,
    lines: again ? ['Now as asked before.'] : promptLines(prompt, guide).map(printable),
  };
}
