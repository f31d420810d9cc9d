import type { Entry, EntryOf } from '../job/entries.ts';
import type { JobState } from '../job/job-state.ts';
import { resultWords } from './result-words.ts';

/** What a customer wants to know, in plain sentences: what was wrong, what was done, is it right now. */
export interface InShort {
  wrong: string[];
  done: string[];
  now: string[];
  /** The grounds of the conclusion, for whoever asks: which reading, on which pads, ruled what out. */
  why: string[];
}

/** Returns a record in short. */
export function inShort(state: JobState, entries: readonly Entry[]): InShort {
  const told = toldConclusion(entries);
  return {
    wrong: whatWasWrong(state, told),
    done: whatWasDone(state),
    now: whatIsNow(state),
    why: told?.reasons ?? [],
  };
}

/** The first conclusion that named something, for a later one is about what is left after a repair; else the last. */
function toldConclusion(entries: readonly Entry[]): EntryOf<'concluded'> | null {
  const all = entries.filter((entry): entry is EntryOf<'concluded'> => entry.kind === 'concluded');
  return all.find(({ conclusion }) => conclusion === 'fault' || conclusion === 'group') ?? all[all.length - 1] ?? null;
}

function whatWasWrong(state: JobState, told: EntryOf<'concluded'> | null): string[] {
  const symptom = state.opened?.symptom === undefined ? [] : [`Reported: ${state.opened.symptom}.`];
  const [first] = told?.decisions ?? [];
  if (told?.conclusion === 'fault' && first !== undefined) {
    return [...symptom, `The fault is in: ${first.name} (${percent(first.p)}).`];
  }
  if (told?.conclusion === 'group') {
    const names = told.decisions.map(({ name, p }) => `${name} (${percent(p)})`);
    return [...symptom, `The checks leave these, and cannot tell them apart: ${names.join('; ')}.`];
  }
  const failed = Object.values(state.checks).filter(({ before, outcome }) => before === 'fail' || outcome === 'fail');
  if (failed.length > 0) {
    const lines = failed.map(({ title, doubtful }) => `Failed: ${title}${doubtful ? ' (not to be relied on)' : ''}.`);
    return [...symptom, ...lines];
  }
  return [...symptom, told?.conclusion === 'none' ? 'No fault was found.' : 'Nothing was found to be wrong so far.'];
}

function whatWasDone(state: JobState): string[] {
  if (state.repairs.length === 0) return ['Nothing was repaired or replaced on this record.'];
  return state.repairs.map(({ what, text }) => (what === 'swap' ? `Replaced: ${text}.` : `Done: ${text}.`));
}

function whatIsNow(state: JobState): string[] {
  const { counts, proofs, result, closed } = state;
  const lines = [resultWords[result].sentence];
  if (closed === null) lines.push('The job is not closed yet, so this is not its last word.');
  lines.push(`${counts.passed} of ${counts.checks} checks stand at a pass, ${counts.failed} at a fail.`);
  if (proofs.standing !== 'held')
    lines.push(`The proofs of the probe: ${proofs.standing}. Readings that rest on them are not to be relied on.`);
  const untested = Object.values(state.checks).filter((check) => check.inGuide && check.outcome === null).length;
  if (untested > 0) lines.push(`${untested} checks were not done; below they are marked so.`);
  return lines;
}

function percent(p: number): string {
  return p >= 0.995 ? 'more than 99 %' : `${Math.round(p * 100)} %`;
}
