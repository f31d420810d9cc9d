import { basename } from 'node:path';
import { OhmwrightError } from '../../errors/ohmwright-error.ts';
import { wantsScreen } from '../../faces/screen/terminal/terminal-capabilities.ts';
import { writeOutput } from '../../files/write-output.ts';
import { readGuideFile } from '../../guide/file/load.ts';
import { problemLines } from '../../guide/problems/problem.ts';
import type { GuideProblem } from '../../guide/types.ts';
import { doubtsOf } from '../../learn/doubts.ts';
import { fitLinks } from '../../learn/fit-links.ts';
import { learnedGuide } from '../../learn/learned-guide.ts';
import { readSitting, type SittingRead } from '../../learn/read-sitting.ts';
import { type Sitting, sittingOf } from '../../learn/sitting-guide.ts';
import { type LearnTable, readTable } from '../../learn/table.ts';
import { readRecord } from '../../record/store/read-record.ts';
import { refuseUnlessVerified } from '../job/run.ts';
import { jobsFolderOf } from '../places/locations.ts';
import { namedJob } from '../places/named-jobs.ts';
import { type Context, exitUnlessInterrupted, printJson } from '../program/context.ts';
import { exitCodes } from '../program/exit-codes.ts';
import { loadScreen } from '../start-up/load-screen.ts';
import type { LearnOptions } from './learn-command.ts';
import { measureOnly } from './measure-only.ts';
import { readingsOf } from './sitting-readings.ts';

/**
 * `learn`: measures a known-good unit by a table of its lines, and writes the guide that both make;
 * returns the exit code. The sitting is a job without a conclusion: chained, signed, resumable.
 */
export async function learn(
  tableFile: string,
  guideFile: string | undefined,
  options: LearnOptions,
  context: Context,
): Promise<number> {
  const { terminal, signal } = context;
  const table = await loadTable(tableFile);
  const planned = sittingOf(table);
  if (!planned.ok) throw unusable(tableFile, planned.problems);
  const { sitting } = planned;
  const closed = options.resume === undefined ? null : await closedSitting(options.resume, sitting, options, context);
  const path = closed ?? (await sit(sitting, options, context));
  if (path === null) return exitUnlessInterrupted(exitCodes.inconclusive, signal);
  await refuseUnlessVerified(path);
  const record = await readRecord(path);
  const sittingRead = readSitting(sitting.touches, readingsOf(record));
  const fit = fitLinks(table.guide, sittingRead.read);
  const doubts = doubtsOf(table.guide, sittingRead.read, fit);
  for (const id of sittingRead.missing) terminal.say(`${id}: nothing read, so it stays unknown.`);
  for (const { what, help } of doubts) terminal.say(`${what}; ${help}.`);
  const told = { record: path, touches: sitting.touches.size, unread: sittingRead.missing, doubts, ...figuresOf(fit) };
  if (doubts.length > 0 || fit === null) {
    terminal.say(`No guide is written. The sitting is kept: ${path}`);
    if (options.json) printJson(terminal, { ...told, guideText: null });
    return exitCodes.inconclusive;
  }
  const made = learnedGuide(table, {
    fit,
    touches: readTouches(sitting, sittingRead),
    volts: sittingRead.volts,
    record: { name: basename(path), identity: record.identity ?? '' },
  });
  if (!made.ok) throw unusable('the learned guide', made.problems);
  const { text, chosen } = made.learned;
  for (const [a, b] of chosen.alike) terminal.say(`Not told apart by these pads: ${a} and ${b}.`);
  for (const [id, modes] of chosen.unseen) terminal.say(`Not seen from here: ${id} ${modes.join(', ')}.`);
  if (options.json)
    printJson(terminal, {
      ...told,
      checks: chosen.checks,
      unseenModes: Object.fromEntries(chosen.unseen),
      guideText: text,
    });
  if (guideFile !== undefined) {
    writeOutput(guideFile, text, options);
    terminal.say(
      `${guideFile}: ${chosen.checks.length} checks, provisional: of one unit. Look at it with: ohmwright guide check ${guideFile}`,
    );
  } else if (!options.json) terminal.document(text);
  return exitCodes.passed;
}

/** @throws guide.read, guide.encoding, guide.invalid, guide.no-table */
async function loadTable(file: string): Promise<LearnTable> {
  const read = readTable((await readGuideFile(file)).text, file);
  if (read.ok) return read.table;
  if (read.problems !== null) throw unusable(file, read.problems);
  throw new OhmwrightError(
    'guide.no-table',
    `the guide ${file} has no table of lines, so nothing says what may be measured`,
    {
      help: 'write lines: by units, or begin with: ohmwright guide new FILE --like plug',
    },
  );
}

/** Measures; returns the record's path, or null when the sitting was left open. */
async function sit(sitting: Sitting, options: LearnOptions, context: Context): Promise<string | null> {
  const { terminal } = context;
  const symptom = options.symptom ?? 'none: a known-good unit to learn from';
  const face = wantsScreen(terminal, options) ? (await loadScreen()).jobScreen : undefined;
  const { path, isOpen } = await measureOnly(sitting, { ...options, symptom }, context, face);
  if (!isOpen) return path;
  terminal.say(`The sitting is open; go on with it by --resume ${path}`);
  return null;
}

/**
 * Returns the path of a sitting that is closed, or null for one to go on with.
 *
 * @throws usage.learn when it is of another table
 */
async function closedSitting(
  job: string,
  sitting: Sitting,
  { jobs }: LearnOptions,
  { terminal }: Context,
): Promise<string | null> {
  const path = await namedJob(job, jobsFolderOf(jobs, terminal), terminal);
  const { state } = await readRecord(path);
  if (state.opened?.guide.text !== sitting.text) {
    throw new OhmwrightError('usage.learn', `${path} is no sitting by this table as it stands.`, {
      help: 'Name the table that it was made by, or begin anew without --resume.',
    });
  }
  return state.closed === null ? null : path;
}

/** The touches that came to something: only they become checks. */
function readTouches(sitting: Sitting, { missing }: SittingRead): Sitting['touches'] {
  return new Map([...sitting.touches].filter(([id]) => !missing.includes(id)));
}

function figuresOf(fit: ReturnType<typeof fitLinks>) {
  return fit === null ? {} : { links: fit.links, chiSquare: fit.chiSquare, dof: fit.dof };
}

function unusable(file: string, problems: readonly GuideProblem[]): OhmwrightError {
  return new OhmwrightError('guide.invalid', problemLines(file, problems), {
    help: `mend the table, then try again: ohmwright learn ${file}`,
  });
}
