import { basename } from 'node:path';
import { OhmwrightError } from '../../errors/ohmwright-error.ts';
import { safeName } from '../../files/safe-name.ts';
import { writeOutput } from '../../files/write-output.ts';
import { recordEnding } from '../../record/store/job-name.ts';
import { type ReadResult, readRecord } from '../../record/store/read-record.ts';
import { readingsCsv } from '../../report/handover/readings-csv.ts';
import type { Letterhead } from '../../report/paper/letterhead.ts';
import type { Reader } from '../../report/paper/reader.ts';
import { type ReportData, reportData } from '../../report/report-data.ts';
import { dataUri, evidencePhotos, recordPhotos } from '../pictures/record-photos.ts';
import { localClock } from '../places/local-time.ts';
import { jobsFolderOf } from '../places/locations.ts';
import { namedJobs } from '../places/named-jobs.ts';
import type { Context } from '../program/context.ts';
import { exitCodes, verdictExits, worstExit } from '../program/exit-codes.ts';
import type { Printer } from '../program/printer.ts';
import { loadSettings } from '../settings/load-settings.ts';
import type { ReportOptions } from './report-command.ts';

/**
 * `report`: writes each record as papers for customer, supplier and colleague; or its readings as CSV.
 */
export async function report(named: string[], options: ReportOptions, { terminal }: Context): Promise<number> {
  const { paths } = await namedJobs(named, jobsFolderOf(options.jobs, terminal), terminal);
  if (options.out !== undefined && paths.length > 1)
    throw new OhmwrightError('usage.report', `--out takes one job, and ${paths.length} are named.`, {
      help: 'Name one, or leave --out away: each page is named after its job.',
    });
  const exits: number[] = [];
  for (const path of paths) exits.push(await reportOn(path, options, terminal));
  return worstExit(exits);
}

async function reportOn(path: string, options: ReportOptions, terminal: Printer): Promise<number> {
  const read = await readRecord(path);
  const data = reportOf(read);
  const text = options.csv
    ? readingsCsv([read])
    : await pageOf(
        { path, data, reader: options.for },
        { ...(await letterheadOf(terminal, options.jobs)), paper: options.paper, clock: localClock(terminal) },
        terminal,
      );
  if (options.out === '-') {
    terminal.document(text);
  } else {
    const out = options.out ?? `${safeName(basename(path, recordEnding))}.${options.csv ? 'csv' : 'html'}`;
    writeOutput(out, text, options);
    terminal.say(`report: ${out}`);
  }
  if (data.verified.ok) return exitCodes.passed;
  terminal.say(`${path}: the record does not verify, and the report says so; \`ohmwright verify\` shows where.`);
  return verdictExits[data.verified.verdict];
}

/** Returns what a report shows. @throws OhmwrightError record.empty when the record opens no job */
export function reportOf(read: ReadResult): ReportData {
  const data = reportData(read);
  if (data !== null) return data;
  throw new OhmwrightError('record.empty', `the record ${read.path} does not begin with the opening of a job`, {
    help: 'Check that it is a job record; `ohmwright jobs` lists them.',
  });
}

/** Returns what the settings say of the shop whose papers these are. */
export async function letterheadOf(terminal: Printer, jobs: string | undefined): Promise<Letterhead> {
  const settings = await loadSettings(terminal, jobs);
  return { name: settings.get('name'), address: settings.get('address'), paper: settings.get('paper') ?? 'A4' };
}

/**
 * Returns the page of a report. React is loaded only where one is made, and the device is drawn only
 * for one who looks at it: the customer. What can't be shown of it is said.
 */
export async function pageOf(
  { path, data, reader }: { path: string; data: ReportData; reader?: Reader | undefined },
  letterhead: Letterhead,
  terminal: Printer,
): Promise<string> {
  const [{ reportHtml }, { layOut }] = await Promise.all([
    import('../../report/paper/render.ts'),
    import('../../picture/lay-out.ts'),
  ]);
  const { guide, state, entries } = data;
  const taken = await evidencePhotos({ path, entries, state });
  for (const { n, lacking } of taken)
    if (lacking !== '') terminal.say(`The photo of entry ${n} is not on the page: ${lacking}.`);
  if (guide === null || (reader ?? 'customer') !== 'customer') return reportHtml(data, { letterhead, taken, reader });
  const { photos, lacking } = await recordPhotos(guide, { path, state }, dataUri);
  for (const { id, why } of lacking) terminal.say(`The picture ${id} is not on the page: ${why}.`);
  return reportHtml(data, { letterhead, diagram: await layOut(guide), photos, taken, reader });
}
