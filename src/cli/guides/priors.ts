import { checkKinds } from '../../checks/registry.ts';
import { OhmwrightError } from '../../errors/ohmwright-error.ts';
import { writeOutput } from '../../files/write-output.ts';
import { type LoadedGuide, loadGuide } from '../../guide/file/load.ts';
import type { Guide } from '../../guide/types.ts';
import { type ConfirmedFault, type ProposedWeight, proposeWeights } from '../../isolate/suspects/prior-counts.ts';
import { confirmedFaults } from '../../ledger/rows/confirmed-faults.ts';
import { type FaultCase, faultCases } from '../../ledger/sql/questions.ts';
import { type ReadResult, readRecord } from '../../record/store/read-record.ts';
import { percent } from '../../statistics/percent.ts';
import { verifyWhole } from '../../verify/conclusions/verify-conclusions.ts';
import { columnsOf, fitText } from '../../view/text/fit-text.ts';
import { withLedger } from '../ledger/open-ledger.ts';
import { jobsFolderOf } from '../places/locations.ts';
import { namedJobs } from '../places/named-jobs.ts';
import { type Context, printJson } from '../program/context.ts';
import { exitCodes } from '../program/exit-codes.ts';
import type { Printer } from '../program/printer.ts';
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
  const marks = countedJobs(loaded.text);
  if (options.ledger !== undefined && named.length > 0) {
    throw new OhmwrightError('usage.priors', '--ledger takes all of its jobs.', { help: 'Name jobs or a ledger.' });
  }
  const { cases, counted } =
    options.ledger === undefined
      ? await casesOfFiles(named, guide, marks, options, terminal)
      : await casesOfLedger(guide, marks, options, terminal);
  const proposed = proposeWeights(
    guide,
    cases.flatMap(({ faults }) => faults),
  );
  if (!proposed.ok) throw new OhmwrightError('priors.counts', `${proposed.what}.`);
  const changed = proposed.weights.filter(({ count }) => count > 0);
  if (options.json) printJson(terminal, { guide: guide.id, cases, weights: proposed.weights });
  else for (const line of linesOf(cases, changed)) terminal.out(line);
  if (options.out !== undefined) {
    writeOutput(options.out, newText(loaded, changed, counted), options);
    terminal.say(`${options.out}: the guide with these weights. ${options.guide} is as it was.`);
  }
  return exitCodes.passed;
}

/** Returns the cases of the records that are named, and the marks of those that count. */
async function casesOfFiles(
  named: string[],
  guide: Guide,
  marks: readonly Mark[],
  options: PriorsOptions,
  terminal: Printer,
): Promise<{ cases: Case[]; counted: string[] }> {
  const folder = jobsFolderOf(options.jobs, terminal);
  const reads: ReadResult[] = [];
  for (const path of (await namedJobs(named, folder, terminal)).paths) reads.push(await readRecord(path));
  const cases = reads.map((read) => caseOf(read, guide, { reads, marks, takesEmulated: options.withEmulated }));
  const counted = reads.flatMap((read, i) => (cases[i]!.faults.length === 0 ? [] : [markOf(read)]));
  return { cases, counted };
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
  const confirmed = confirmedFaults(state);
  if (confirmed.why !== null) return none(confirmed.why);
  const faults = knownTo(guide, confirmed.faults);
  if (faults.length === 0) return none(whyNotKnown);
  return { record: path, job: opened.job, faults, why: null };
}

const whyNotKnown = 'the guide does not have the links that it confirms';

/** The faults of links that a guide has: it may have been mended since. */
function knownTo(guide: Guide, faults: readonly ConfirmedFault[]): ConfirmedFault[] {
  const known = new Set(guide.links.map(({ id }) => id));
  return faults.filter(({ link }) => known.has(link));
}

/**
 * Returns the cases of all jobs in a ledger that confirm something by a guide of this name, each with
 * its mark. What does not verify is counted in no ledger.
 */
async function casesOfLedger(
  guide: Guide,
  marks: readonly Mark[],
  options: PriorsOptions,
  terminal: Printer,
): Promise<{ cases: Case[]; counted: string[] }> {
  return withLedger({ ledger: options.ledger, database: undefined }, terminal, async (ledger) => {
    const rows = await ledger.query<FaultCase>(faultCases(guide.id, options.withEmulated));
    const cases: Case[] = [];
    const counted: string[] = [];
    for (const identity of new Set(rows.map(({ record_id }) => record_id))) {
      const some = rows.filter(({ record_id }) => record_id === identity);
      const { job, entries } = some[0]!;
      const record = ledger.records.pathOf(identity);
      const isMarked = marks.some((mark) => (mark.identity === null ? mark.job === job : mark.identity === identity));
      const faults = isMarked
        ? []
        : knownTo(
            guide,
            some.map(({ link, mode, share }) => ({ link, mode, count: share })),
          );
      const why = isMarked ? 'it is counted already' : faults.length === 0 ? whyNotKnown : null;
      cases.push({ record, job, faults, why });
      if (why === null) counted.push(`${job} ${identity} ${entries}`);
    }
    return { cases, counted };
  });
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
