import { stat } from 'node:fs/promises';
import { join } from 'node:path';
import { errnoOf } from '../../errors/errno.ts';
import { realDisk } from '../../record/store/disk.ts';
import { recordEnding } from '../../record/store/job-name.ts';
import { readRecord } from '../../record/store/read-record.ts';
import { diskError } from '../../record/store/record-error.ts';
import { verifyWhole } from '../conclusions/verify-conclusions.ts';
import { type JobSummary, summarizeRecord, unreadableRecord } from './job-summary.ts';
import { type FileMark, JobsIndex } from './jobs-index.ts';

export type { JobSummary } from './job-summary.ts';

/** Files looked at at the same time: more gains nothing. */
const atOnce = 32;

/**
 * Returns a summary of each record (`*.owjob`) in a folder, latest entry first; nothing when there
 * is no such folder. A record that can't be read is in the list with its trouble. Each is verified
 * whole, as `verify` does. With a `secret` of this user, records that look as they did are taken
 * from the folder's index, which is sealed with it and is written anew when one of them changed;
 * `nowMs` is the time of that.
 *
 * @throws OhmwrightError `record.disk` when the folder itself can't be read
 */
export async function listJobs(
  dir: string,
  nowMs: number = Date.now(),
  secret: Uint8Array | null = null,
): Promise<JobSummary[]> {
  let names: string[];
  try {
    names = (await realDisk.list(dir)).filter((name) => name.endsWith(recordEnding)).sort();
  } catch (error) {
    if (errnoOf(error) === 'ENOENT') return [];
    throw diskError('list', dir, error);
  }
  const index = await JobsIndex.open(dir, secret);
  const jobs: JobSummary[] = [];
  for (let at = 0; at < names.length; at += atOnce) {
    const some = names.slice(at, at + atOnce);
    jobs.push(...(await Promise.all(some.map((name) => summaryOf(dir, name, index)))));
  }
  await index.save(dir, names, nowMs);
  return jobs.sort((a, b) => (b.lastAt ?? '').localeCompare(a.lastAt ?? ''));
}

/** Returns the summary of one record, verified whole; one that can't be read has its trouble in it. */
export async function summaryOfRecord(path: string): Promise<JobSummary> {
  try {
    const read = await readRecord(path);
    return summarizeRecord(read, verifyWhole(read.bytes).verdict);
  } catch (error) {
    return unreadableRecord(path, (error as Error).message);
  }
}

async function summaryOf(dir: string, name: string, index: JobsIndex): Promise<JobSummary> {
  const path = join(dir, name);
  try {
    const { size, mtimeMs, ctimeMs, ino } = await stat(path);
    const mark: FileMark = { bytes: size, changedMs: mtimeMs, enteredMs: ctimeMs, inode: ino };
    const known = index.summaryOf(name, mark);
    // the folder may have been moved
    if (known !== null) return { ...known, path };
    const read = await readRecord(path);
    const summary = summarizeRecord(read, verifyWhole(read.bytes).verdict);
    index.keep(name, mark, summary);
    return summary;
  } catch (error) {
    return unreadableRecord(path, (error as Error).message);
  }
}
