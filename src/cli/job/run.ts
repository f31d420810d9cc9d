import { checkKinds } from '../../checks/registry.ts';
import { OhmwrightError } from '../../errors/ohmwright-error.ts';
import { loadSoundGuide } from '../../guide/file/load.ts';
import { BenchSeries } from '../../record/signing/bench-series.ts';
import { leadsTo } from '../../record/signing/succession.ts';
import { readRecord } from '../../record/store/read-record.ts';
import { JobRecord } from '../../record/store/record.ts';
import { verifyWhole } from '../../verify/conclusions/verify-conclusions.ts';
import { benchKeyPath, jobsFolderOf } from '../places/locations.ts';
import { namedJob } from '../places/named-jobs.ts';
import { type Context, printJson } from '../program/context.ts';
import { holdProbe } from '../program/held-probe.ts';
import type { RunOptions } from '../program/program-options.ts';
import { cautionsAccepted, keepCautionsRead } from '../settings/cautions-accepted.ts';
import { type EndedSession, type FaceMaker, runJob, summarizeSession, type WorkOptions } from './job-session.ts';
import { type OpenedJob, openJob, resumeJob, signingKeyOf } from './open-job.ts';

/**
 * `run`: opens a job by a guide, or goes on with one, and runs it to its end; returns the exit
 * code.
 */
export async function run(guideFile: string | undefined, options: RunOptions, context: Context): Promise<number> {
  if (options.resume !== undefined) {
    if (guideFile !== undefined) throw usage('--resume takes the guide from the record.', 'Leave the guide file out.');
    return (
      (await finishClosed(options.resume, options, context)) ??
      workJob(await resumeJob(options.resume, options, context), options, context)
    );
  }
  if (guideFile === undefined) throw usage('run needs a guide file.', 'Name one, or go on with a job by --resume JOB.');
  const file = await loadSoundGuide(guideFile, checkKinds);
  const held = await holdProbe(options, context);
  const atProbe = { ...options, port: held?.port ?? options.port, held };
  try {
    return await workJob(await openJob(file, atProbe, context), atProbe, context);
  } finally {
    await held?.release();
  }
}

/**
 * Signs a job that stands closed and, by a crash, not signed, and tells it; null for any other: that
 * is to be gone on with.
 */
export async function finishClosed(job: string, options: WorkOptions, context: Context): Promise<number | null> {
  const { terminal } = context;
  const path = await namedJob(job, jobsFolderOf(options.jobs, terminal), terminal);
  const { state } = await readRecord(path);
  const key = signingKeyOf(options, terminal);
  const begun = state.addenda.at(-1) ?? state.opened;
  if (state.closed === null || state.signed !== null || begun?.bench === undefined || key === undefined) return null;
  if (!leadsTo(begun.bench.key, key.publicKey, key.succession)) return null;
  const series = new BenchSeries(benchKeyPath(terminal), key.publicKey);
  const record = await JobRecord.finish(path, key, { series });
  await record.close();
  terminal.say('The job stood closed and was not signed: it is signed now.');
  return tellEnd({ job: record.state, phase: 'closed' }, path, options, context);
}

/**
 * Works an open job to its end, closes its record, and says what it came to; returns the exit code.
 */
export async function workJob(
  { guide, record }: OpenedJob,
  options: WorkOptions,
  context: Context,
  openFace?: FaceMaker,
): Promise<number> {
  // on a screen it would stand there twice: it is said at the end, and when anything goes wrong
  if (openFace === undefined) context.terminal.say(`record: ${record.path}`);
  const technician = record.state.opened?.technician;
  const accepted = await cautionsAccepted(guide, technician, options, context.terminal);
  const state = await runJob(guide, record, { ...options, accepted }, context, openFace)
    .catch((error: unknown) => {
      context.terminal.say(`The job is kept; go on with: ohmwright resume ${record.path}`);
      throw error;
    })
    .finally(async () => {
      await record.close();
      await keepCautionsRead(guide, technician, record.state.cautions, options, context.terminal);
    });
  return tellEnd(state, record.path, options, context);
}

/**
 * Says what a session came to, once the record of a closed job was read again and holds; returns
 * the exit code.
 */
export async function tellEnd(
  state: EndedSession,
  path: string,
  options: Pick<WorkOptions, 'json'>,
  context: Context,
): Promise<number> {
  if (state.job.closed !== null) await refuseUnlessVerified(path);
  const exitCode = summarizeSession(state, path, context);
  if (options.json) {
    const { job, result, counts, proofs, doubtful, checks } = state.job;
    printJson(context.terminal, {
      record: path,
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
 * Reads the record of a job that was closed once more, as anybody else would, before its result is
 * told.
 *
 * @throws OhmwrightError `record.not-verified`, or why it can't be read
 */
export async function refuseUnlessVerified(path: string): Promise<void> {
  const { departures } = verifyWhole((await readRecord(path)).bytes);
  const [first] = departures;
  if (first === undefined) return;
  const message = `the record ${path} does not verify, so nothing is said of the job: line ${first.line}: ${first.what}`;
  throw new OhmwrightError('record.not-verified', message, { help: 'Keep the file as it is, and do the job anew.' });
}

function usage(message: string, help: string): OhmwrightError {
  return new OhmwrightError('usage.run', message, { help });
}
