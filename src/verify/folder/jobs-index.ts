import { rename, rm, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { z } from 'zod';
import { readForeignText } from '../../files/read-file.ts';
import type { JobSummary } from './job-summary.ts';

/** Of what version a summary is: one more whenever its form or meaning changes, and every old index is made anew. */
const summaryVersion = 1;
const indexName = '.ohmwright-jobs.json';
/** A record touched so shortly before the index was written may have been written to again within the same tick of the file system's clock. */
const doubtMs = 2_000;

/** What a file looked like when it was summarized. */
export interface FileMark {
  bytes: number;
  /** Time of its last change in milliseconds since 1970, with the fractions that the file system has. */
  changedMs: number;
}

type Known = { mark: FileMark; summary: JobSummary };

const indexSchema = z.object({
  version: z.literal(summaryVersion),
  writtenMs: z.number(),
  // the summaries were checked when they were made; the version says that they have the form of today
  jobs: z.record(
    z.string(),
    z.object({ mark: z.object({ bytes: z.number(), changedMs: z.number() }), summary: z.looseObject({}) }),
  ),
});

/**
 * Summaries of records that were read before, by file name. Only a shortcut: whatever is in doubt about it (another version, not
 * readable, a file that looks different or was changed just before it was written) is read from the records again.
 */
export class JobsIndex {
  readonly #known: Map<string, Known>;
  readonly #writtenMs: number;
  #fresh = false;

  private constructor(known: Map<string, Known>, writtenMs: number) {
    this.#known = known;
    this.#writtenMs = writtenMs;
  }

  /** Returns the index of a folder, empty when there is none that can be relied on. */
  static async open(dir: string): Promise<JobsIndex> {
    try {
      const parsed = indexSchema.parse(JSON.parse(await readForeignText(join(dir, indexName), 'index of records')));
      const known = Object.entries(parsed.jobs) as unknown as [string, Known][];
      return new JobsIndex(new Map(known), parsed.writtenMs);
    } catch {
      return new JobsIndex(new Map(), 0);
    }
  }

  /** Returns the summary of a file that looks as it did; null when it has to be read. */
  summaryOf(name: string, mark: FileMark): JobSummary | null {
    const known = this.#known.get(name);
    if (known === undefined || known.mark.bytes !== mark.bytes || known.mark.changedMs !== mark.changedMs) return null;
    return mark.changedMs > this.#writtenMs - doubtMs ? null : known.summary;
  }

  keep(name: string, mark: FileMark, summary: JobSummary): void {
    this.#known.set(name, { mark, summary });
    this.#fresh = true;
  }

  /** Writes the index when something in it is new or gone. A folder that can't be written to goes without. */
  async save(dir: string, names: readonly string[], nowMs: number): Promise<void> {
    const there = new Set(names);
    for (const name of this.#known.keys()) if (!there.has(name)) this.#fresh = this.#known.delete(name) || this.#fresh;
    if (!this.#fresh) return;
    const path = join(dir, indexName);
    const beside = `${path}.${process.pid}`;
    try {
      const jobs = Object.fromEntries(this.#known);
      await writeFile(beside, JSON.stringify({ version: summaryVersion, writtenMs: nowMs, jobs }));
      await rename(beside, path);
    } catch {
      await rm(beside, { force: true }).catch(() => undefined);
    }
  }
}
