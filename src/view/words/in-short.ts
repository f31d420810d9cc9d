import type { Guide } from '../../guide/types.ts';
import type { Entry, EntryOf } from '../../record/entries/entries.ts';
import type { JobState } from '../../record/state/job-state.ts';
import { conclusionWords } from './conclusion.ts';
import { abandonedAddendum, addendumWords, isAddendumAbandoned } from './entry.ts';
import { moneyText, stepText } from './plan.ts';
import { resultWords } from './result.ts';

/**
 * What a customer wants to know, in plain sentences: what was wrong, what was done, is it right
 * now.
 */
export interface InShort {
  wrong: string[];
  done: string[];
  now: string[];
  /** Prices of what was done, or of what is to be done first; empty where the guide has none. */
  cost: string[];
  /**
   * The grounds of the conclusion, for whoever asks: which reading, on which pads, ruled what out.
   */
  why: string[];
}

/** Returns a record in short. */
export function inShort(state: JobState, entries: readonly Entry[], guide: Guide | null): InShort {
  const all = entries.filter((entry): entry is EntryOf<'concluded'> => entry.kind === 'concluded');
  // what comes after a repair that helped names nothing any more
  const naming = all.filter(({ conclusion }) => conclusion === 'fault' || conclusion === 'group');
  const told = naming.at(-1) ?? all.at(-1);
  return {
    wrong: whatWasWrong(state, naming, all.at(-1) ?? null),
    done: whatWasDone(state),
    now: whatIsNow(state),
    cost: whatItCosts(state, guide),
    why: told?.reasons ?? [],
  };
}

function whatWasWrong(
  state: JobState,
  naming: readonly EntryOf<'concluded'>[],
  last: EntryOf<'concluded'> | null,
): string[] {
  const symptom = state.opened?.symptom === undefined ? [] : [`Reported: ${state.opened.symptom}.`];
  const found = naming.map((one) => conclusionWords(one, false).long).filter((text, i, texts) => text !== texts[i - 1]);
  if (found.length === 1) return [...symptom, found[0]!];
  // a repair did not help, and the checks after it told more
  if (found.length > 1)
    return [
      ...symptom,
      ...found.map((text, i) => `${i === 0 ? 'At first' : 'Then'}: ${text[0]!.toLowerCase()}${text.slice(1)}`),
    ];
  const failed = Object.values(state.checks).filter(({ before, outcome }) => before === 'fail' || outcome === 'fail');
  if (failed.length > 0) {
    const lines = failed.map(({ title, doubtful }) => `Failed: ${title}${doubtful ? ' (not to be relied on)' : ''}.`);
    return [...symptom, ...lines];
  }
  return [...symptom, conclusionWords(last?.conclusion === 'none' ? last : null, false).long];
}

function whatWasDone(state: JobState): string[] {
  if (state.repairs.length === 0) return ['Nothing was repaired or replaced on this record.'];
  const times = new Map<string, number>();
  for (const { what, text } of state.repairs) {
    const line = `${what === 'swap' ? 'Replaced' : 'Done'}: ${text}`;
    times.set(line, (times.get(line) ?? 0) + 1);
  }
  return [...times].map(([line, count]) => (count === 1 ? `${line}.` : `${line} (${count} times).`));
}

function whatIsNow(state: JobState): string[] {
  const { counts, proofs, result, closed, addenda } = state;
  const lines = [resultWords[result].sentence];
  for (const { at, what, why } of addenda)
    lines.push(`Added on ${at.slice(0, 10)} (UTC), ${addendumWords[what]}: ${why}.`);
  if (isAddendumAbandoned(state)) lines.push(abandonedAddendum);
  if (closed === null) lines.push('The job is not closed yet, so this is not its last word.');
  lines.push(`Measured: ${counts.passed} right, ${counts.failed} not right.`);
  if (proofs.standing === 'held' && state.failedProofs.length > 0)
    lines.push(`The proofs of the probe held, after ${state.failedProofs.length} of their tries had failed.`);
  if (proofs.standing !== 'held')
    lines.push(`The proofs of the probe: ${proofs.standing}. Readings that rest on them are not to be relied on.`);
  const untested = Object.values(state.checks).filter((check) => check.inGuide && check.outcome === null).length;
  if (untested > 0) lines.push(`${untested} of the guide's checks ${untestedWords(untested, state)}.`);
  return lines;
}

/** Once a place was named, what is left is not needed; else it was left out. */
function untestedWords(count: number, { found }: JobState): string {
  const were = count === 1 ? 'was' : 'were';
  return found === null ? `${were} not done` : `${were} not needed for this`;
}

function whatItCosts({ repairs, found }: JobState, guide: Guide | null): string[] {
  const currency = guide?.currency ?? null;
  const done = repairs.map(({ repair, unit }) => {
    if (unit !== null) return guide?.units.find(({ id }) => id === unit)?.price ?? 0;
    return guide?.repairs.find(({ id }) => id === repair)?.price ?? 0;
  });
  const sum = done.reduce((total, price) => total + price, 0);
  if (repairs.length > 0) return sum > 0 ? [`Parts, as the guide has their prices: ${moneyText(sum, currency)}.`] : [];
  const first = found?.plan.steps[0];
  return first === undefined ? [] : [`Proposed: ${stepText(first, found!.plan.currency)}.`];
}
