import { parseGuide } from '../../checks/guides.ts';
import { checkKinds } from '../../checks/registry.ts';
import { OhmwrightError } from '../../errors/ohmwright-error.ts';
import { writeOutput } from '../../files/write-output.ts';
import { type LoadedGuide, loadGuide } from '../../guide/file/load.ts';
import type { Guide } from '../../guide/types.ts';
import { believe } from '../../isolate/belief/belief.ts';
import { openModel } from '../../isolate/predict/model.ts';
import {
  type ConfirmedFault,
  confirmedBy,
  type ProposedWeight,
  proposeWeights,
} from '../../isolate/suspects/prior-counts.ts';
import { repairsNow } from '../../record/state/addendum.ts';
import { historyOf } from '../../record/state/evidence-history.ts';
import { type ReadResult, readRecord } from '../../record/store/read-record.ts';
import { percent } from '../../statistics/percent.ts';
import { verifyWhole } from '../../verify/conclusions/verify-conclusions.ts';
import { columnsOf, fitText } from '../../view/text/fit-text.ts';
import { jobsFolderOf } from '../places/locations.ts';
import { namedJobs } from '../places/named-jobs.ts';
import { type Context, printJson } from '../program/context.ts';
import { exitCodes } from '../program/exit-codes.ts';
import type { PriorsOptions } from './priors-command.ts';
import { withWeights } from './weights-in-text.ts';

/** What one record has to say: the faults that it confirms, or why none. */
interface Case {
  record: string;
  job: string | null;
  faults: ConfirmedFault[];
  why: string | null;
}

/** In a guide's text: a job whose fault is in its weights already. */
const countedMark = '# counted in the weights: ';

/**
 * `priors`: counts the faults that repaired jobs confirm, and proposes weights for a guide; returns
 * the exit code.
 */
export async function priors(named: string[], options: PriorsOptions, { terminal }: Context): Promise<number> {
  const loaded = await loadGuide(options.guide, checkKinds);
  const { guide } = loaded;
  const folder = jobsFolderOf(options.jobs, terminal);
  const marks = countedJobs(loaded.text);
  const reads: ReadResult[] = [];
  for (const path of (await namedJobs(named, folder, terminal)).paths) reads.push(await readRecord(path));
  const cases = reads.map((read) => caseOf(read, guide, { reads, marks, takesEmulated: options.withEmulated }));
  const proposed = proposeWeights(
    guide,
    cases.flatMap(({ faults }) => faults),
  );
  if (!proposed.ok) throw new OhmwrightError('priors.counts', `${proposed.what}.`);
  const changed = proposed.weights.filter(({ count }) => count > 0);
  if (options.json) printJson(terminal, { guide: guide.id, cases, weights: proposed.weights });
  else for (const line of linesOf(cases, changed)) terminal.out(line);
  if (options.out !== undefined) {
    const counted = reads.flatMap((read, i) => (cases[i]!.faults.length === 0 ? [] : [markOf(read)]));
    writeOutput(options.out, newText(loaded, changed, counted), options);
    terminal.say(`${options.out}: the guide with these weights. ${options.guide} is as it was.`);
  }
  return exitCodes.passed;
}

/** What a record is counted among. */
interface Counting {
  /** All records that are named: copies of one are one case. */
  reads: readonly ReadResult[];
  /** What the guide's text says is in its weights already. */
  marks: readonly Mark[];
  takesEmulated: boolean;
}

function caseOf(read: ReadResult, guide: Guide, { reads, marks, takesEmulated }: Counting): Case {
  const { path, state, whole } = read;
  const none = (why: string): Case => ({ record: path, job: state.job, faults: [], why });
  const { opened } = state;
  if (!whole || opened === null) return none('the record is not whole');
  if (opened.guide.id !== guide.id) return none(`it is by the guide '${opened.guide.id}'`);
  const mark = marks.find(({ job, identity }) => (identity === null ? job === opened.job : identity === read.identity));
  if (mark !== undefined) {
    const isAddedTo = mark.entries !== null && mark.entries !== state.entries;
    return none(
      isAddedTo ? 'it is counted already, and was added to since: look at its weight' : 'it is counted already',
    );
  }
  const copy = longestOf(reads.filter(({ identity }) => identity === read.identity));
  if (copy !== read) return none(`it is a copy of ${copy.path}`);
  if (!verifyWhole(read.bytes).ok) return none('it does not verify');
  if (state.closed === null) return none('it is still open');
  // demo jobs lie in the same folder, and their faults are made up
  if (!takesEmulated && state.emulated) {
    return none('it was measured on the emulated probe (--with-emulated counts such jobs too)');
  }
  // whether a repair of an earlier visit had helped, the device's return leaves open
  const last = repairsNow(state).at(-1);
  if (state.result !== 'repaired' || last === undefined) return none(`its result is '${state.result}'`);
  if (last.repair === null) return none('a unit was swapped, which repair it amounts to is not on record');
  // the circuit that the job was measured by: a guide may have been mended since
  const own = parseGuide(opened.guide.text, path);
  if (!own.ok) return none('the guide in it can no longer be read');
  const { evidence, repaired } = historyOf(state);
  const belief = believe(openModel(own.guide), evidence.slice(0, repaired.at(-1)?.after), repaired.slice(0, -1));
  if (!('decisions' in belief)) return none(belief.what);
  const known = new Set(guide.links.map(({ id }) => id));
  const faults = confirmedBy(own.guide, belief, last.repair).filter(({ link }) => known.has(link));
  if (faults.length === 0) return none(`its repair '${last.repair}' fits none of its suspects`);
  return { record: path, job: opened.job, faults, why: null };
}

function linesOf(cases: readonly Case[], changed: readonly ProposedWeight[]): string[] {
  const used = cases.filter(({ faults }) => faults.length > 0).length;
  const name = ({ link, mode }: { link: string; mode: string }): string => `${link}=${mode}`;
  const width = Math.max(5, ...changed.map((row) => columnsOf(name(row))));
  return [
    ...cases.map(({ record, faults, why }) => {
      const told = faults.map((fault) => `${name(fault)} ${round(fault.count)}`).join(', ');
      return `${record}: ${why === null ? told : `not counted, ${why}`}`;
    }),
    `${used} of ${cases.length} records confirm a fault.`,
    ...(changed.length === 0 ? [] : [`${'fault'.padEnd(width)}  weight  counted  proposed   share of all faults`]),
    ...changed.map(
      (row) =>
        `${fitText(name(row), width)}  ${cell(row.before, 6)}  ${cell(row.count, 7)}  ${cell(row.after, 8)}   ${percent(row.shareBefore)} -> ${percent(row.shareAfter)}`,
    ),
  ];
}

function cell(value: number, width: number): string {
  return String(round(value)).padStart(width);
}

function round(value: number): number {
  return Number(value.toFixed(3));
}

/** A job that is in a guide's weights; texts of before identities were written name it only. */
interface Mark {
  job: string;
  identity: string | null;
  entries: number | null;
}

function markOf({ state, identity }: ReadResult): string {
  return `${state.job} ${identity} ${state.entries}`;
}

function countedJobs(text: string): Mark[] {
  return text.split('\n').flatMap((line) => {
    if (!line.startsWith(countedMark)) return [];
    const [job = '', identity = null, entries = null] = line.slice(countedMark.length).trim().split(' ');
    return [{ job, identity, entries: entries === null ? null : Number(entries) }];
  });
}

/** Of copies of a record the longest counts: it may have been added to; of equal ones the first. */
function longestOf(copies: readonly ReadResult[]): ReadResult {
  return copies.reduce((a, b) => (b.state.entries > a.state.entries ? b : a));
}

/**
 * Returns the guide's text with the new weights and the jobs that are counted in them. @throws
 * priors.text
 */
function newText({ text, guide }: LoadedGuide, changed: readonly ProposedWeight[], counted: readonly string[]): string {
  const written = withWeights(
    text,
    changed.map(({ link, mode, after }) => ({ link, mode, weight: round(after) })),
  );
  if (written === null) {
    throw new OhmwrightError('priors.text', `the text of guide '${guide.id}' can't be changed link by link.`, {
      help: 'Write the weights shown into it by hand.',
    });
  }
  return `${counted.map((job) => `${countedMark}${job}\n`).join('')}${written}`;
}
