import { createHmac } from 'node:crypto';
import { join } from 'node:path';
import { z } from 'zod';
import { readForeignText } from '../../files/read-file.ts';
import { writeOutput } from '../../files/write-output.ts';
import type { JobSummary } from './job-summary.ts';

/**
 * Of what version a summary is: one more whenever its form or meaning changes, and every old index
 * is made anew.
 */
export const summaryVersion = 3;
const indexName = '.ohmwright-jobs.json';
/**
 * A record touched so shortly before the index was written may have been written to again within
 * the same tick of the file system's clock.
 */
const doubtMs = 2_000;

/** What a file looked like when it was summarized. */
export interface FileMark {
  bytes: number;
  /**
   * Time of its last change in milliseconds since 1970, with the fractions that the file system
   * has.
   */
  changedMs: number;
  /** The same of its entry in the file system: this one nobody sets back. */
  enteredMs: number;
  inode: number;
}

type Known = { mark: FileMark; summary: JobSummary };

const indexSchema = z.object({
  version: z.literal(summaryVersion),
  writtenMs: z.number(),
  // the summaries were checked when they were made; the version says that they have the form of
  // today
  jobs: z.record(
    z.string(),
    z.object({
      mark: z.object({ bytes: z.number(), changedMs: z.number(), enteredMs: z.number(), inode: z.number() }),
      summary: z.looseObject({}),
    }),
  ),
});

/**
 * Returns an index as it stands in its file: an authentication code (HMAC, RFC 2104, with SHA-256)
 * in a line before it.
 */
export function sealedIndex(text: string, secret: Uint8Array): string {
  return `${createHmac('sha256', secret).update(text).digest('hex')}\n${text}`;
}

/** Returns the text of a sealed index; null when it was not sealed with this secret. */
export function openedIndex(sealed: string, secret: Uint8Array): string | null {
  const text = sealed.slice(sealed.indexOf('\n') + 1);
  return sealed === sealedIndex(text, secret) ? text : null;
}

/**
 * Returns what an index holds and when it was written, or null when anything of it is in doubt.
 * Never throws.
 */
export function parseIndex(
  sealed: string,
  secret: Uint8Array,
): { known: Map<string, Known>; writtenMs: number } | null {
  const text = openedIndex(sealed, secret);
  if (text === null) return null;
  try {
    const { jobs, writtenMs } = indexSchema.parse(JSON.parse(text));
    return { known: new Map(Object.entries(jobs) as unknown as [string, Known][]), writtenMs };
  } catch {
    return null;
  }
}

/**
 * Summaries of records that were read and verified before, by file name. Only a shortcut: whatever
 * is in doubt about it (not sealed with this user's secret, another version, not readable, a file
 * that looks different or was changed just before it was written) is read from the records again.
 * Without a secret there is no index.
 */
export class JobsIndex {
  readonly #known: Map<string, Known>;
  readonly #writtenMs: number;
  readonly #secret: Uint8Array | null;
  #fresh = false;

  private constructor(known: Map<string, Known>, writtenMs: number, secret: Uint8Array | null) {
    this.#secret = secret;
    this.#known = known;
    this.#writtenMs = writtenMs;
  }

  /** Returns the index of a folder, empty when there is none that can be relied on. */
  static async open(dir: string, secret: Uint8Array | null): Promise<JobsIndex> {
    const sealed =
      secret === null ? '' : await readForeignText(join(dir, indexName), 'index of records').catch(() => '');
    const parsed = secret === null ? null : parseIndex(sealed, secret);
    return new JobsIndex(parsed?.known ?? new Map(), parsed?.writtenMs ?? 0, secret);
  }

  /** Returns the summary of a file that looks as it did; null when it has to be read. */
  summaryOf(name: string, mark: FileMark): JobSummary | null {
    const known = this.#known.get(name);
    if (known === undefined || !isSame(known.mark, mark)) return null;
    return mark.changedMs > this.#writtenMs - doubtMs ? null : known.summary;
  }

  keep(name: string, mark: FileMark, summary: JobSummary): void {
    this.#known.set(name, { mark, summary });
    this.#fresh = true;
  }

  /**
   * Writes the index when something in it is new or gone. A folder that can't be written to goes
   * without.
   */
  async save(dir: string, names: readonly string[], nowMs: number): Promise<void> {
    const there = new Set(names);
    for (const name of this.#known.keys()) if (!there.has(name)) this.#fresh = this.#known.delete(name) || this.#fresh;
    if (!this.#fresh || this.#secret === null) return;
    try {
      const jobs = Object.fromEntries(this.#known);
      const text = JSON.stringify({ version: summaryVersion, writtenMs: nowMs, jobs });
      writeOutput(join(dir, indexName), sealedIndex(text, this.#secret), { force: true });
    } catch {
      // see above
    }
  }
}

function isSame(a: FileMark, b: FileMark): boolean {
  return a.bytes === b.bytes && a.changedMs === b.changedMs && a.enteredMs === b.enteredMs && a.inode === b.inode;
}
