import type { Guide } from '../../guide/types.ts';
import { decisionOf } from '../../isolate/suspects/suspects.ts';
import type { EntryOf } from '../../record/entries/entries.ts';
import { isRepairedAfter } from '../../record/state/addendum.ts';
import type { JobState } from '../../record/state/job-state.ts';
import { percent } from '../../statistics/percent.ts';
import { listedLines } from '../text/list.ts';
import { costLines, stepText } from './plan.ts';

/**
 * What isolation came to, as far as words need it: one from a record serves, and one just drawn.
 */
export interface Concluded {
  conclusion: EntryOf<'concluded'>['conclusion'];
  decisions: readonly { name: string; p: number }[];
}

/** How a conclusion is told, from one word to a whole sentence. */
export interface ConclusionWords {
  /** A word or two that can be drawn large. */
  large: string;
  /** A clause with what it names: stands behind `concluded:`. */
  short: string;
  /** A sentence that names nothing: stands above a list of what it is about. */
  head: string;
  /** A sentence with what it names. */
  long: string;
}

/** Decisions of an open conclusion that are named. */
const namedOpen = 3;

/**
 * Returns a conclusion in words.
 *
 * @param concluded what isolation came to; null before the first conclusion
 * @param isRepaired something was repaired before it, so that `none` says that it helped
 */
export function conclusionWords(concluded: Concluded | null, isRepaired: boolean): ConclusionWords {
  if (concluded === null) return nothingSoFar;
  const { conclusion, decisions } = concluded;
  const named = decisions.map(({ name, p }) => `${name} (${percent(p)})`);
  switch (conclusion) {
    case 'fault': {
      const what = named[0] ?? 'no place that has a name';
      return { large: 'FOUND', short: what, head: 'A fault was found.', long: `The fault is in: ${what}.` };
    }
    case 'group': {
      const head = 'The checks left cannot tell these apart';
      return {
        large: `ONE OF ${decisions.length}`,
        short: `not told apart: ${named.join(', ')}`,
        head: `${head}.`,
        long: `${head}: ${named.join('; ')}.`,
      };
    }
    case 'unknown': {
      const head = 'None of the faults of this guide explains this';
      return { large: 'NOT IN GUIDE', short: 'none of the faults of this guide', head: `${head}.`, long: `${head}.` };
    }
    case 'none':
      return isRepaired ? nothingAnyMore : nothingFound;
    case 'open': {
      const likeliest = named.slice(0, namedOpen).join(', ');
      const short = likeliest === '' ? 'not decided yet' : `not decided yet, likeliest ${likeliest}`;
      return { large: 'NOT SURE', short, head: 'Not decided yet.', long: `${sentence(short)}.` };
    }
  }
}

const nothingFound = said('no fault found', 'No fault was found.');
const nothingAnyMore = said('nothing is wrong any more', 'Nothing is wrong any more.');
const nothingSoFar = said('no fault found so far', 'No fault was found so far.');

function said(short: string, sentence: string): ConclusionWords {
  return { large: 'NO FAULT', short, head: sentence, long: sentence };
}

/**
 * Returns what isolation came to, as plain lines: decisions, reasons, plan with its cost, what was
 * not tested.
 */
export function conclusionLines(
  entry: EntryOf<'concluded'>,
  titleOf: (check: string) => string,
  isRepaired: boolean,
): string[] {
  const { conclusion, decisions, reasons, doubt, beyond, plan, notTested } = entry;
  const lines: string[] = [`Conclusion: ${inside(conclusionWords(entry, isRepaired).head)}`];
  for (const { name, p } of decisions) lines.push(`  ${percent(p)} ${name}`);
  if (doubt !== null) lines.push(`  in doubt: ${doubt}`);
  for (const reason of reasons) lines.push(`  - ${reason}`);
  if (beyond !== null) lines.push(`  to tell them apart: ${beyond}`);
  plan.steps.forEach((step, i) => {
    lines.push(`  repair ${i + 1}: ${stepText(step, plan.currency)}`);
  });
  lines.push(...costLines(plan, plan.currency).map((line) => `  ${line}`));
  // where a fault was found, or mended, the number will do for a long list: the job's summary names
  // them
  const isNamed = conclusion !== 'fault' && !(conclusion === 'none' && isRepaired);
  const titles = notTested.map(titleOf);
  if (titles.length > fewTitles && !isNamed) lines.push(`  not tested: ${titles.length} checks`);
  else if (titles.length > fewTitles) lines.push(...listedLines('  not tested', titles));
  else if (titles.length > 0) lines.push(`  not tested: ${titles.join('; ')}`);
  return lines;
}

/**
 * Returns the answer of a job: where the fault was found and how sure that is; while nothing was
 * done about it, what to do first and what it costs. No lines where no place was named.
 */
export function answerLines({ found, repairs, result }: Pick<JobState, 'found' | 'repairs' | 'result'>): string[] {
  if (found === null || result === 'passed' || result === 'no-fault-found') return [];
  const lines = [`found: ${conclusionWords(found, false).short}`];
  const first = found.plan.steps[0];
  if (!isRepairedAfter(found, repairs) && first !== undefined)
    lines.push(`to do: ${stepText(first, found.plan.currency)}`);
  return lines;
}

/**
 * Returns the ids of the units and links at which the fault was found; of a group, all that it may
 * be. Empty where no place was named.
 */
export function foundAt(guide: Guide, { found }: Pick<JobState, 'found'>): string[] {
  if (found === null) return [];
  const places = found.decisions.flatMap(({ id }) => id.split(' + '));
  const links = guide.links.filter((link) => link.unit === null && places.includes(decisionOf(guide, link)));
  return [...guide.units.filter(({ id }) => places.includes(id)), ...links].map(({ id }) => id);
}

/** A sentence as it stands behind a colon. */
function inside(text: string): string {
  return `${text.charAt(0).toLowerCase()}${text.slice(1)}`;
}

function sentence(clause: string): string {
  return `${clause.charAt(0).toUpperCase()}${clause.slice(1)}`;
}

/** So many checks are named on one line. */
const fewTitles = 3;
