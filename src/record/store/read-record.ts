import { type ParsedRecord, parseRecord } from '../chain/parse-record.ts';
import type { Entry } from '../entries/entries.ts';
import { foldJob, type JobState } from '../state/fold.ts';
import { realDisk } from './disk.ts';
import { diskError } from './record-error.ts';

/** A record as it was read: `entries` and `state` hold what is whole up to the first damage. */
export interface ReadResult {
  path: string;
  bytes: Buffer;
  entries: Entry[];
  state: JobState;
  parsed: ParsedRecord;
  /**
   * What names the record for good, whatever its file is called and whatever is added to it: the hash
   * of its first line; null when that is not whole.
   */
  identity: string | null;
  /** Nothing is damaged, torn or unended. */
  whole: boolean;
}

/**
 * Returns the entries of a record and what is wrong with it; reads only and needs no lock.
 *
 * @throws OhmwrightError `record.missing`, `record.disk`
 */
export async function readRecord(path: string): Promise<ReadResult> {
  const bytes = await realDisk.read(path).catch((error: unknown) => {
    throw diskError('read', path, error);
  });
  const parsed = parseRecord(bytes);
  const entries = parsed.lines.map((line) => line.entry);
  const whole = parsed.damage.length === 0 && parsed.torn === null && !parsed.unended;
  const identity = parsed.lines[0]?.sha256 ?? null;
  return { path, bytes, entries, state: foldJob(entries), parsed, identity, whole };
}
