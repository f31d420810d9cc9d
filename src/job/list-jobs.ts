import { join } from 'node:path';
import { errnoOf, realDisk } from './disk.ts';
import type { EntryOf, JobCounts, JobResult, ProofStanding } from './entries.ts';
import { emptyJob } from './fold.ts';
import { recordEnding } from './job-name.ts';
import { parseRecord } from './parse-record.ts';
import { type ReadResult, readRecord } from './read-record.ts';
import { diskError } from './record-error.ts';

/** One line about one record. */
export interface JobSummary {
  path: string;
  job: string | null;
  guide: string | null;
  device: EntryOf<'opened'>['device'] | null;
  ticket: string | null;
  openedAt: string | null;
  lastAt: string | null;
  entries: number;
  open: boolean;
  result: JobResult;
  proofs: ProofStanding;
  doubtful: boolean;
  counts: JobCounts;
  /** What is wrong with the file, in words; null when it is whole. */
  trouble: string | null;
}

/**
 * Returns a summary of each record (`*.owjob`) in a folder, latest entry first; nothing when there is no such folder. A record
 * that can't be read is in the list with its trouble.
 *
 * @throws OhmwrightError `record.disk` when the folder itself can't be read
 */
export async function listJobs(dir: string): Promise<JobSummary[]> {
  let names: string[];
  try {
    names = await realDisk.list(dir);
  } catch (error) {
    if (errnoOf(error) === 'ENOENT') return [];
    throw diskError('list', dir, error);
  }
  const jobs: JobSummary[] = [];
  for (const name of names.filter((each) => each.endsWith(recordEnding)).sort()) {
    const path = join(dir, name);
    try {
      jobs.push(summarize(await readRecord(path)));
    } catch (error) {
      jobs.push(unreadable(path, (error as Error).message));
    }
  }
  return jobs.sort((a, b) => (b.lastAt ?? '').localeCompare(a.lastAt ?? ''));
}

/** Returns the summary of a record that was read. */
export function summarize(read: ReadResult): JobSummary {
  const { state, path } = read;
  const opened = state.opened;
  return {
    path,
    job: state.job,
    guide: opened?.guide.title ?? null,
    device: opened?.device ?? null,
    ticket: opened?.ticket ?? null,
    openedAt: opened?.at ?? null,
    lastAt: state.lastAt,
    entries: state.entries,
    open: state.closed === null,
    result: state.result,
    proofs: state.proofs.standing,
    doubtful: state.doubtful,
    counts: state.counts,
    trouble: troubleOf(read),
  };
}

function troubleOf({ parsed }: ReadResult): string | null {
  const first = parsed.damage[0];
  if (first !== undefined) return `damaged in line ${first.line}: ${first.what}`;
  if (parsed.lines.length === 0) return 'holds no whole entry';
  if (parsed.torn !== null) return `${parsed.torn.why} (line ${parsed.torn.line}); resuming sets it aside`;
  return parsed.unended ? 'the last line lacks its newline; resuming adds it' : null;
}

function unreadable(path: string, trouble: string): JobSummary {
  const read = {
    path,
    bytes: Buffer.alloc(0),
    entries: [],
    state: emptyJob(),
    parsed: parseRecord(Buffer.alloc(0)),
    whole: false,
  };
  return { ...summarize(read), trouble };
}
