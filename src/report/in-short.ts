import type { Entry, EntryOf } from '../job/entries.ts';
import type { JobState } from '../job/job-state.ts';
import { resultWords } from './result-words.ts';

/** What a customer wants to know, in plain sentences: what was wrong, what was done, is it right now. */
export interface InShort {
  wrong: string[];
  done: string[];
  now: string[];
}

/** Returns a record in short. */
export function inShort(state: JobState, entries: readonly Entry[]): InShort {
  return { wrong: whatWasWrong(state, entries), done: whatWasDone(state), now: whatIsNow(state) };
}

/** The first conclusion that named something: a later one is about what is left after a repair. */
function whatWasWrong(state: JobState, entries: readonly Entry[]): string[] {
  const conclusions = entries.filter((entry): entry is EntryOf<'concluded'> => entry.kind === 'concluded');
  const concluded = conclusions.find(({ conclusion }) => conclusion === 'fault' || conclusion === 'group');
  const symptom = state.opened?.symptom === undefined ? [] : [`Reported: ${state.opened.symptom}.`];
  if (concluded !== undefined) {
    const [first, ...others] = concluded.decisions;
    if (concluded.conclusion === 'fault' && first !== undefined) {
      return [...symptom, `The fault is in: ${first.name} (${percent(first.p)}).`, ...concluded.reasons];
    }
    const names = [first, ...others].filter((one) => one !== undefined).map(({ name, p }) => `${name} (${percent(p)})`);
    return [
      ...symptom,
      `The checks leave these, and cannot tell them apart: ${names.join('; ')}.`,
      ...concluded.reasons,
    ];
  }
  const failed = Object.values(state.checks).filter(({ before, outcome }) => before === 'fail' || outcome === 'fail');
  if (failed.length > 0) {
    return [
      ...symptom,
      ...failed.map(({ title, doubtful }) => `Failed: ${title}${doubtful ? ' (not to be relied on)' : ''}.`),
    ];
  }
  const last = conclusions[conclusions.length - 1];
  if (last?.conclusion === 'none') return [...symptom, 'No fault was found.', ...last.reasons];
  return [...symptom, 'Nothing was found to be wrong so far.'];
}

function whatWasDone(state: JobState): string[] {
  if (state.repairs.length === 0) return ['Nothing was repaired or replaced on this record.'];
  return state.repairs.map(({ what, text }) => (what === 'swap' ? `Replaced: ${text}.` : `Done: ${text}.`));
}

function whatIsNow(state: JobState): string[] {
  const { counts, proofs, result, closed, concluded } = state;
  const lines = [resultWords[result].sentence];
  if (closed === null) lines.push('The job is not closed yet, so this is not its last word.');
  lines.push(`${counts.passed} of ${counts.checks} checks stand at a pass, ${counts.failed} at a fail.`);
  if (proofs.standing !== 'held')
    lines.push(`The proofs of the probe: ${proofs.standing}. Readings that rest on them are not to be relied on.`);
  const untested = concluded?.notTested ?? [];
  if (untested.length > 0 && result !== 'passed') {
    lines.push(`Not tested: ${untested.map((id) => state.checks[id]?.title ?? id).join('; ')}.`);
  }
  return lines;
}

function percent(p: number): string {
  return p >= 0.995 ? 'more than 99 %' : `${Math.round(p * 100)} %`;
}
