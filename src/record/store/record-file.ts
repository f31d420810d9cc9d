import { errnoOf } from '../../errors/errno.ts';
import type { ChainEnd } from '../chain/chain-writer.ts';
import type { ParsedRecord } from '../chain/parse-record.ts';
import { currentRules, rulesIn } from '../entries/rules.ts';
import { foldJob } from '../state/fold.ts';
import type { JobState } from '../state/job-state.ts';
import type { Disk, DiskFile, FileLook } from './disk.ts';
import { diskError, newerError, recordError } from './record-error.ts';

/**
 * Refuses a file with two names: they have two locks, so two benches could write it at once.
 *
 * @throws OhmwrightError `record.linked`
 */
export function refuseSecondName(path: string, look: FileLook | null): void {
  if (look === null || look.links <= 1) return;
  const message = `the record ${path} has ${look.links} names (hard links), and could be written under each of them at once`;
  throw recordError('record.linked', message, 'Copy it to a file of its own, remove the other name, and resume that.');
}

/**
 * Opens the file of a new record, which must not be there.
 *
 * @throws OhmwrightError `record.exists`, `record.disk`
 */
export async function openNew(disk: Disk, path: string): Promise<DiskFile> {
  try {
    return await disk.open(path, 'ax');
  } catch (error) {
    if (errnoOf(error) !== 'EEXIST') throw diskError('create', path, error);
    const help = 'Choose another name, or resume that job.';
    throw recordError('record.exists', `the record ${path} exists already`, help, error);
  }
}

/** Opens the file of a record to write behind its last whole entry; `cutAt`: what stands behind it goes first. */
export async function openToAppend(disk: Disk, path: string, cutAt: number | null): Promise<DiskFile> {
  const file = await disk.open(path, 'a');
  if (cutAt === null) return file;
  try {
    await file.truncate(cutAt);
    await file.sync();
    return file;
  } catch (error) {
    await file.close();
    throw error;
  }
}

/**
 * Returns what a record that was read comes to, when it can be gone on with.
 *
 * @throws OhmwrightError `record.newer`, `record.damaged`, `record.empty`
 */
export function resumable(path: string, parsed: ParsedRecord): { state: JobState; end: ChainEnd } {
  const first = parsed.damage[0];
  if (first?.code === 'entry.format') throw newerError(path, first.what);
  if (first !== undefined) {
    const help = `\`ohmwright verify ${path}\` shows all of it. Keep the file as it is and open a new job.`;
    throw recordError('record.damaged', `the record ${path} is damaged in line ${first.line}: ${first.what}`, help);
  }
  const last = parsed.lines.at(-1);
  if (last === undefined) {
    throw recordError('record.empty', `the record ${path} holds no whole entry`, 'Open a new job.');
  }
  const entries = parsed.lines.map((line) => line.entry);
  const unknown = rulesIn(entries).find((rules) => rules > currentRules);
  if (unknown !== undefined) throw newerError(path, `it was made by the rules ${unknown}`);
  const state = foldJob(entries);
  if (parsed.lines[0]?.entry.kind !== 'opened') {
    const what = 'it does not begin with the opening of a job';
    throw recordError('record.damaged', `the record ${path} is damaged in line 1: ${what}`, 'Open a new job.');
  }
  const end = { prev: last.sha256, n: last.entry.n, bytes: parsed.wholeBytes, unended: parsed.unended };
  return { state, end };
}

/** Returns what a piece of work on the disk comes to; its failure says what was being done. */
export async function orDiskError<T>(doing: string, path: string, work: Promise<T>): Promise<T> {
  try {
    return await work;
  } catch (error) {
    throw diskError(doing, path, error);
  }
}
