import { dirname, resolve } from 'node:path';
import { parseGuide } from '../../checks/guides.ts';
import { checkKinds } from '../../checks/registry.ts';
import { OhmwrightError } from '../../errors/ohmwright-error.ts';
import { loadSoundGuide } from '../../guide/file/load.ts';
import { didYouMean } from '../../guide/file/near.ts';
import type { Guide } from '../../guide/types.ts';
import type { Opening } from '../../record/entries/entries.ts';
import type { Customer } from '../../record/entries/personal-data.ts';
import { openBenchKey } from '../../record/signing/bench-key.ts';
import { BenchSeries } from '../../record/signing/bench-series.ts';
import { readRecord } from '../../record/store/read-record.ts';
import { JobRecord } from '../../record/store/record.ts';
import { verifyWhole } from '../../verify/conclusions/verify-conclusions.ts';
import { benchKeyPath } from '../program/bench-key-path.ts';
import { type Context, printJson } from '../program/context.ts';
import { simulatedPort } from '../program/open-probe.ts';
import { jobsFolderOf, recordPath } from '../program/record-path.ts';
import { toolName } from '../program/tool-name.ts';
import { conclude, type FaceMaker, runJob, type SessionOptions } from './job-session.ts';
import { faultsOf } from './simulator.ts';

export interface RunOptions extends SessionOptions {
  json?: boolean;
  resume?: string;
  record?: string;
  revision?: string;
  override?: string;
  ticket?: string;
  symptom?: string;
  serial?: string;
  technician?: string;
  customer?: string;
  contact?: string;
}

/** `run`: opens a job by a guide, or goes on with one, and runs it to its end; returns the exit code. */
export async function run(
  guideFile: string | undefined,
  options: RunOptions,
  context: Context,
  openFace?: FaceMaker,
): Promise<number> {
  const { guide, record } = await openOrResume(guideFile, options, context);
  context.terminal.say(`record: ${record.path}`);
  const state = await runJob(guide, record, options, context, openFace)
    .catch((error: unknown) => {
      context.terminal.say(`The job is kept; go on with: ohmwright resume ${record.path}`);
      throw error;
    })
    .finally(() => record.close());
  if (state.job.closed !== null) await refuseUnlessVerified(record.path);
  const exitCode = conclude(state, record.path, context);
  if (options.json === true) {
    const { job, result, counts, proofs, doubtful, checks } = state.job;
    printJson(context.terminal, {
      record: record.path,
      job,
      open: state.phase === 'left',
      result,
      exitCode,
      counts,
      proofs: proofs.standing,
      doubtful,
      checks: Object.values(checks),
      concluded: state.job.concluded,
      repairs: state.job.repairs,
    });
  }
  return exitCode;
}

/**
 * Reads the record of a job that was closed once more, as anybody else would, before its result is told.
 *
 * @throws OhmwrightError `record.not-verified`, or why it can't be read
 */
async function refuseUnlessVerified(path: string): Promise<void> {
  const { departures } = verifyWhole((await readRecord(path)).bytes);
  const [first] = departures;
  if (first === undefined) return;
  const message = `the record ${path} does not verify, so nothing is said of the job: line ${first.line}: ${first.what}`;
  throw new OhmwrightError('record.not-verified', message, { help: 'Keep the file as it is, and do the job anew.' });
}

async function openOrResume(guideFile: string | undefined, options: RunOptions, { terminal }: Context) {
  const folder = jobsFolderOf(options.jobs, terminal);
  if (options.resume !== undefined) {
    if (guideFile !== undefined) throw usage('--resume takes the guide from the record.', 'Leave the guide file out.');
    return resumeJob(recordPath(options.resume, folder), seriesOf(options, terminal));
  }
  if (guideFile === undefined) throw usage('run needs a guide file.', 'Name one, or go on with a job by --resume JOB.');
  const { guide, text, sha256 } = await loadSoundGuide(guideFile, checkKinds);
  faultsOf(options.fault ?? [], guide);
  const opening = openingOf(guide, { text, sha256 }, options);
  const customer = customerFrom(options);
  const series = seriesOf(options, terminal);
  if (options.record === undefined)
    return { guide, record: await JobRecord.create(folder, opening, { customer, series }) };
  const path = resolve(options.record);
  return { guide, record: await JobRecord.create(dirname(path), opening, { file: path, customer, series }) };
}

function customerFrom({ customer, contact }: RunOptions): Customer {
  return { ...(customer === undefined ? {} : { name: customer }), ...(contact === undefined ? {} : { contact }) };
}

/** The bench's own count of its records. Emulated jobs and jobs that are not signed are none of them. */
function seriesOf({ port, sign }: RunOptions, terminal: Context['terminal']): BenchSeries | undefined {
  if (port === simulatedPort || sign === false) return undefined;
  const path = benchKeyPath(terminal);
  return new BenchSeries(path, openBenchKey(path).publicKey);
}

async function resumeJob(path: string, series: BenchSeries | undefined): Promise<{ guide: Guide; record: JobRecord }> {
  const record = await JobRecord.resume(path, { tool: toolName, series });
  const opened = record.state.opened;
  const parsed = opened === null ? null : parseGuide(opened.guide.text, 'the guide in the record');
  if (parsed?.ok === true && record.state.closed === null) return { guide: parsed.guide, record };
  await record.close();
  if (parsed?.ok === true)
    throw usage(`The job in ${path} is closed.`, 'Open a new job by its guide.', 'record.closed-job');
  throw usage(
    `The guide in ${path} can't be read by this version.`,
    'Use the version that wrote the record.',
    'record.guide',
  );
}

/** Returns what a job is opened with. A revision that the guide does not hold for needs a reason to go on. */
export function openingOf(guide: Guide, file: { text: string; sha256: string }, options: Partial<RunOptions>): Opening {
  const { maker, name } = guide.device;
  const revision = options.revision ?? onlyRevision(guide);
  const holds = guide.revisions.holds.includes(revision);
  const why = guide.revisions.not.find((n) => n.revision === revision)?.reason;
  if (!holds && options.override === undefined) throw refusedRevision(guide, revision, why);
  return {
    tool: toolName,
    guide: {
      id: guide.id,
      title: guide.title,
      sha256: file.sha256,
      text: file.text,
      checks: guide.checks.map(({ id, title, kind }) => ({ id, title, kind })),
    },
    device: { maker, name, revision, ...(options.serial === undefined ? {} : { serial: options.serial }) },
    ...(options.ticket === undefined ? {} : { ticket: options.ticket }),
    ...(options.symptom === undefined ? {} : { symptom: options.symptom }),
    ...(options.technician === undefined ? {} : { technician: options.technician }),
    revision: holds
      ? { holds }
      : { holds, reason: why ?? 'the guide does not list this revision', override: options.override! },
  };
}

function onlyRevision(guide: Guide): string {
  const { holds } = guide.revisions;
  if (holds.length === 1) return holds[0]!;
  throw usage(
    `The guide holds for revisions ${holds.join(', ')}.`,
    'Say which one is on the bench with --revision NAME.',
  );
}

function refusedRevision(guide: Guide, revision: string, why: string | undefined): OhmwrightError {
  const { holds } = guide.revisions;
  const reason = why === undefined ? `it is not one of ${holds.join(', ')}${didYouMean(revision, holds)}` : why;
  return usage(
    `The guide ${guide.id} does not hold for revision '${revision}': ${reason}.`,
    'Use the guide for that revision, or go on with --override WHY; the reason stays in the record.',
    'guide.revision',
  );
}

function usage(message: string, help: string, code = 'usage.run'): OhmwrightError {
  return new OhmwrightError(code, message, { help });
}
