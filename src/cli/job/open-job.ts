import { dirname, join, resolve } from 'node:path';
import { parseGuide } from '../../checks/guides.ts';
import { OhmwrightError } from '../../errors/ohmwright-error.ts';
import type { SoundGuide } from '../../guide/file/load.ts';
import { didYouMean } from '../../guide/file/near.ts';
import type { Guide } from '../../guide/types.ts';
import type { Opening } from '../../record/entries/entries.ts';
import { simulatedPort } from '../../record/entries/simulated-port.ts';
import { type BenchKey, openBenchKey } from '../../record/signing/bench-key.ts';
import { BenchSeries } from '../../record/signing/bench-series.ts';
import { type ReadResult, readRecord } from '../../record/store/read-record.ts';
import { JobRecord } from '../../record/store/record.ts';
import { guideIn } from '../../verify/conclusions/believed.ts';
import { verifyWhole } from '../../verify/conclusions/verify-conclusions.ts';
import type { IntakeFields } from '../../view/job/intake-fields.ts';
import { keepPictures, listedPictures } from '../pictures/job-pictures.ts';
import { benchKeyPath, emulatedKeyPath, jobsFolderOf } from '../places/locations.ts';
import { namedJob } from '../places/named-jobs.ts';
import type { Context } from '../program/context.ts';
import type { Printer } from '../program/printer.ts';
import type { AddendumOptions, SessionOptions } from '../program/program-options.ts';
import { toolName } from '../program/tool-name.ts';
import { cautionsByOption } from '../settings/cautions-accepted.ts';
import { emulatedDevice } from './simulator.ts';

/** A job that can be worked. Whoever opened it closes the record. */
export interface OpenedJob {
  guide: Guide;
  record: JobRecord;
}

/**
 * What a new job is opened with: options of the session, what is told of the job, and where its
 * record goes.
 */
export type OpeningOptions = SessionOptions & IntakeFields & { record?: string };

/**
 * Opens a new job by a guide that is loaded already: what is recorded is the very text that was
 * looked at.
 */
export async function openJob(
  file: SoundGuide,
  options: OpeningOptions,
  { terminal, signal }: Context,
): Promise<OpenedJob> {
  const { guide } = file;
  cautionsByOption(guide, options.acceptCautions);
  await emulatedDevice(guide, options);
  const opening = { ...openingOf(guide, file, options), ...emulatedMark(options) };
  const customer = given({ name: options.customer, contact: options.contact });
  const series = seriesOf(options, terminal);
  // whoever has left by now leaves no job behind
  signal.throwIfAborted();
  const path = options.record === undefined ? undefined : resolve(options.record);
  const folder = path === undefined ? jobsFolderOf(options.jobs, terminal) : dirname(path);
  // no record names a picture that is not kept yet
  await keepPictures(file.pictures, join(folder, 'any'), terminal);
  return { guide, record: await JobRecord.create(folder, opening, { ...given({ file: path }), customer, series }) };
}

/**
 * The bench's own count of its records. Emulated jobs and jobs that are not signed are none of
 * them.
 */
function seriesOf({ port, sign }: Pick<SessionOptions, 'port' | 'sign'>, terminal: Printer): BenchSeries | undefined {
  if (port === simulatedPort || sign === false) return undefined;
  const path = benchKeyPath(terminal);
  return new BenchSeries(path, openBenchKey(path).publicKey);
}

/**
 * Returns the key that a session signs with: the bench's own, or the one for jobs on the emulated
 * probe, so that none of those can pass for real; undefined when nothing is to be signed.
 */
export function signingKeyOf(
  { port, sign }: Pick<SessionOptions, 'port' | 'sign'>,
  terminal: Pick<Printer, 'env' | 'cwd'>,
): BenchKey | undefined {
  if (!sign) return undefined;
  return openBenchKey(port === simulatedPort ? emulatedKeyPath(terminal) : benchKeyPath(terminal));
}

/**
 * Opens the record of a job that is to be gone on with.
 *
 * @throws OhmwrightError `record.closed-job`, `record.guide`, and why the record can't be taken
 */
export async function resumeJob(job: string, options: SessionOptions, { terminal }: Context): Promise<OpenedJob> {
  const path = await namedJob(job, jobsFolderOf(options.jobs, terminal), terminal);
  refuseMixed(await readRecord(path), options);
  const record = await JobRecord.resume(path, { tool: toolName, series: seriesOf(options, terminal) });
  const opened = record.state.opened;
  const parsed = opened === null ? null : parseGuide(opened.guide.text, 'the guide in the record');
  if (parsed?.ok === true && record.state.closed === null) return { guide: parsed.guide, record };
  await record.close();
  if (parsed?.ok === true)
    throw usage(`The job in ${path} is closed.`, 'Add to it: ohmwright addendum.', 'record.closed-job');
  throw unreadableGuide(path);
}

/**
 * Opens the record of a closed job to add to it. A record that does not hold is not added to: the
 * new signature would cover it too.
 *
 * @throws OhmwrightError `record.not-verified`, `record.guide`, and why the record can't be taken
 */
export async function addToJob(
  job: string,
  options: AddendumOptions,
  { terminal, signal }: Context,
): Promise<OpenedJob> {
  const path = await namedJob(job, jobsFolderOf(options.jobs, terminal), terminal);
  const read = await readRecord(path);
  refuseMixed(read, options);
  const { verdict } = verifyWhole(read.bytes);
  if (verdict !== 'holds' && verdict !== 'not-signed') {
    const help = 'Open a new job; this record stays as it is.';
    throw new OhmwrightError('record.not-verified', `the record ${path} does not verify, so nothing is added to it`, {
      help: `\`ohmwright verify ${path}\` says where. ${help}`,
    });
  }
  const guide = guideIn(read.entries);
  if (guide === null) throw unreadableGuide(path);
  const series = seriesOf(options, terminal);
  signal.throwIfAborted();
  const { returned, why, technician } = options;
  const added = {
    what: returned ? 'returned' : 'continued',
    why,
    ...given({ technician }),
    ...emulatedMark(options),
  } as const;
  return { guide, record: await JobRecord.addTo(path, added, { tool: toolName, series }) };
}

/** Marks what is measured on the emulated probe. */
function emulatedMark({ port }: Pick<SessionOptions, 'port'>): { emulated?: true } {
  return port === simulatedPort ? { emulated: true } : {};
}

/** A real job is never gone on with on the emulated probe, nor the other way round. */
function refuseMixed({ state: { opened, addenda } }: ReadResult, { port }: Pick<SessionOptions, 'port'>): void {
  const begun = addenda.at(-1) ?? opened;
  const isEmulated = port === simulatedPort;
  const isMixed = isEmulated ? begun?.bench !== undefined : begun?.emulated === true;
  if (!isMixed) return;
  throw usage(
    `That job is ${isEmulated ? 'of a real device' : 'on the emulated probe'}, and stays so.`,
    isEmulated ? 'Leave --port sim: out.' : 'Go on with it by --port sim:.',
    'usage.emulated',
  );
}

function unreadableGuide(path: string): OhmwrightError {
  return usage(
    `The guide in ${path} can't be read by this version.`,
    'Use the version that wrote the record.',
    'record.guide',
  );
}

/**
 * Returns what a job is opened with. A revision that the guide does not hold for needs a reason to
 * go on.
 */
export function openingOf(
  guide: Guide,
  file: Pick<SoundGuide, 'text' | 'sha256'> & Partial<Pick<SoundGuide, 'pictures'>>,
  told: IntakeFields,
): Opening {
  const { maker, name } = guide.device;
  const { revision = onlyRevision(guide), override, serial, ticket, symptom, technician } = told;
  const holds = guide.revisions.holds.includes(revision);
  const why = guide.revisions.not.find((n) => n.revision === revision)?.reason;
  if (!holds && override === undefined) throw refusedRevision(guide, revision, why);
  return {
    tool: toolName,
    guide: {
      id: guide.id,
      title: guide.title,
      sha256: file.sha256,
      text: file.text,
      checks: guide.checks.map(({ id, title, kind }) => ({ id, title, kind })),
    },
    ...listedPictures(guide, file.pictures),
    device: { maker, name, revision, ...given({ serial }) },
    ...given({ ticket, symptom, technician }),
    revision: holds
      ? { holds }
      : { holds, reason: why ?? 'the guide does not list this revision', override: override! },
  };
}

/** Returns what has a value: canonical JSON takes no undefined. */
function given<T extends object>(told: T): { [Name in keyof T]?: Exclude<T[Name], undefined> } {
  return Object.fromEntries(Object.entries(told).filter(([, value]) => value !== undefined)) as T;
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
