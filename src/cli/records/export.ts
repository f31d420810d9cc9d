import { basename } from 'node:path';
import { zipSync } from 'fflate';
import { OhmwrightError } from '../../errors/ohmwright-error.ts';
import { safeName } from '../../files/safe-name.ts';
import { writeOutput } from '../../files/write-output.ts';
import { withoutCustomer } from '../../record/chain/without-customer.ts';
import { guidePicturesOf, pictureName } from '../../record/pictures/kept-pictures.ts';
import { recordEnding } from '../../record/store/job-name.ts';
import { type ReadResult, readRecord } from '../../record/store/read-record.ts';
import { junitXml } from '../../report/handover/junit.ts';
import { type LabelSource, labelSvg, labelText } from '../../report/handover/label.ts';
import { readingsCsv } from '../../report/handover/readings-csv.ts';
import { tapText } from '../../report/handover/tap.ts';
import type { Letterhead } from '../../report/paper/letterhead.ts';
import type { ReportData } from '../../report/report-data.ts';
import { verifyWhole } from '../../verify/conclusions/verify-conclusions.ts';
import { evidencePhotos } from '../pictures/record-photos.ts';
import { localClock } from '../places/local-time.ts';
import { jobsFolderOf } from '../places/locations.ts';
import { namedJobs } from '../places/named-jobs.ts';
import type { Context } from '../program/context.ts';
import { exitCodes, verdictExits, worstExit } from '../program/exit-codes.ts';
import type { Printer } from '../program/printer.ts';
import type { ExportOptions } from './export-command.ts';
import type { LabelOptions } from './label-command.ts';
import { letterheadOf, pageOf, reportOf } from './report.ts';

/** `export`: hands records over to other programs and people. */
export async function exportJobs(named: string[], options: ExportOptions, { terminal }: Context): Promise<number> {
  const folder = jobsFolderOf(options.jobs, terminal);
  const reads: ReadResult[] = [];
  for (const path of (await namedJobs(named, folder, terminal)).paths) reads.push(await readRecord(path));
  const verified = reads.map((read) => verifyWhole(read.bytes));
  const departures = verified.map(({ ok, departures: found }) => (ok ? 0 : Math.max(1, found.length)));
  const made = await contentOf(reads, departures, options, await letterheadOf(terminal, options.jobs), terminal);
  if (options.out !== undefined) {
    writeOutput(options.out, made, options);
    terminal.say(`written: ${options.out}`);
  } else if (typeof made === 'string') {
    terminal.document(made);
  } else {
    throw usage(`--as ${options.as} makes a file.`, 'Say where it goes with --out FILE.');
  }
  const bad = reads.filter((_read, i) => departures[i]! > 0).map(({ path }) => path);
  if (bad.length === 0) return exitCodes.passed;
  terminal.say(`Not to be relied on: ${bad.join(', ')}; \`ohmwright verify\` says why.`);
  return worstExit(verified.map(({ verdict }) => verdictExits[verdict]));
}

async function contentOf(
  reads: readonly ReadResult[],
  departures: readonly number[],
  options: ExportOptions,
  letterhead: Letterhead,
  terminal: Printer,
): Promise<string | Uint8Array> {
  switch (options.as) {
    case 'junit':
      return junitXml(reads.map(({ state }, i) => ({ state, departures: departures[i]! })));
    case 'tap':
      return tapText(reads.map(({ state }, i) => ({ state, departures: departures[i]! })));
    case 'csv':
      return readingsCsv(reads);
    case 'record':
      return bytesOf(onlyOne(reads, options), options);
    case 'archive':
      return archiveOf(onlyOne(reads, options), options, letterhead, terminal);
  }
}

function onlyOne(reads: readonly ReadResult[], { as }: ExportOptions): ReadResult {
  const [read, ...others] = reads;
  if (read === undefined || others.length > 0) throw usage(`--as ${as} takes one record.`, 'Name a single record.');
  return read;
}

/** The record's bytes; without the customer when that was asked. */
function bytesOf({ bytes }: ReadResult, options: ExportOptions): Uint8Array {
  return options.withoutCustomer ? withoutCustomer(bytes) : bytes;
}

/**
 * One archive (ZIP) of record, guide, report, readings and label. Everything in it can be made
 * again from the record: its times are in UTC, wherever it is made.
 */
async function archiveOf(
  read: ReadResult,
  options: ExportOptions,
  letterhead: Letterhead,
  terminal: Printer,
): Promise<Uint8Array> {
  const data = reportOf(read);
  const name = safeName(basename(read.path, recordEnding));
  const opened = data.state.opened!;
  const shown = options.withoutCustomer ? { ...data, customer: {} } : data;
  const source = labelSourceOf(data);
  const text = (content: string): Uint8Array => Buffer.from(content);
  return zipSync(
    {
      [`${name}${recordEnding}`]: bytesOf(read, options),
      [`${safeName(opened.guide.id)}.yaml`]: text(opened.guide.text),
      [`${name}.html`]: text(await pageOf({ path: read.path, data: shown }, letterhead, terminal)),
      [`${name}.csv`]: text(readingsCsv([read])),
      [`${name}-label.txt`]: text(labelText(source, 48)),
      [`${name}-label.svg`]: text(labelSvg(source)),
      ...(await picturesIn(read)),
    },
    // of the job's own time, so that the same record gives the same archive
    { mtime: new Date(data.closedAt ?? data.openedAt) },
  );
}

/** Pictures of the guide and photos taken at checks, under the names that the record and `pictures/` beside it have for them. */
async function picturesIn(read: ReadResult): Promise<Record<string, Uint8Array>> {
  const pictures = [...(await guidePicturesOf(read.path, read.state.opened)), ...(await evidencePhotos(read))];
  return Object.fromEntries(
    pictures.flatMap(({ content }) => (content === null ? [] : [[`pictures/${pictureName(content)}`, content.bytes]])),
  );
}

/** `label`: the short text for the bag of each job, or the code of one as a picture. */
export async function label(named: string[], options: LabelOptions, { terminal }: Context): Promise<number> {
  const { paths } = await namedJobs(named, jobsFolderOf(options.jobs, terminal), terminal);
  if (options.svg !== undefined && paths.length > 1) throw usage('--svg takes one job.', 'Name a single job.');
  const exits: number[] = [];
  for (const path of paths) exits.push(await labelOf(path, options, terminal));
  return worstExit(exits);
}

async function labelOf(path: string, options: LabelOptions, terminal: Printer): Promise<number> {
  const read = await readRecord(path);
  const data = reportOf(read);
  const source = labelSourceOf(data);
  if (options.svg !== undefined) {
    writeOutput(options.svg, labelSvg(source), options);
    terminal.say(`label: ${options.svg}`);
  } else {
    const clock = localClock(terminal);
    terminal.document(labelText({ ...source, clock }, options.width === '32' ? 32 : 48));
  }
  if (data.verified.ok) return exitCodes.passed;
  terminal.say(`${read.path}: the record does not verify, and the label says so; \`ohmwright verify\` shows where.`);
  return verdictExits[data.verified.verdict];
}

function labelSourceOf({ state, verified }: ReportData): LabelSource {
  return { state, digest: verified.lastSha256 ?? '', verifies: verified.ok };
}

function usage(message: string, help: string): OhmwrightError {
  return new OhmwrightError('usage.export', message, { help });
}
