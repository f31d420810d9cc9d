import { basename, dirname, join } from 'node:path';
import { sha256 } from '../chain/chain.ts';
import type { ParsedRecord, TornTail } from '../chain/parse-record.ts';
import type { NewEntry } from '../entries/entries.ts';
import type { JobState } from '../state/job-state.ts';
import { type Disk, syncDir } from './disk.ts';
import { diskError } from './record-error.ts';

type Recovered = Extract<NewEntry, { kind: 'recovered' }>;

/**
 * Copies the torn end of a record, if it has one, to a file RECORD.torn-N beside it and syncs it.
 * Returns the entries that have to follow: for that file, for files set aside by a recovery that
 * broke off before its entry stood, and for a missing last newline. The record itself is not
 * touched: the caller cuts it only after this.
 *
 * @throws OhmwrightError `record.disk`
 */
export async function recover(
  disk: Disk,
  path: string,
  parsed: ParsedRecord,
  state: JobState,
): Promise<{ entries: Recovered[]; cutAt: number | null }> {
  try {
    const entries: Recovered[] = [];
    const beside = await tornFiles(disk, path);
    const told = new Set(state.recovered.map((entry) => entry.file));
    for (const file of beside.filter((name) => !told.has(name))) {
      const bytes = await disk.read(join(dirname(path), file));
      entries.push(entryFor(file, bytes, 'set aside by a recovery that broke off'));
    }
    if (parsed.torn !== null) entries.push(await setAside(disk, path, parsed.torn, beside));
    if (parsed.unended) {
      const why = 'the newline behind the last entry was missing; the entry is whole';
      entries.push({ kind: 'recovered', file: null, bytes: 0, sha256: null, why });
    }
    return { entries, cutAt: parsed.torn?.offset ?? null };
  } catch (error) {
    throw diskError('set aside the torn end of', path, error);
  }
}

async function setAside(disk: Disk, path: string, torn: TornTail, beside: string[]): Promise<Recovered> {
  let number = 1;
  while (beside.includes(tornName(path, number))) number += 1;
  const name = tornName(path, number);
  const file = await disk.open(join(dirname(path), name), 'wx');
  try {
    for (let done = 0; done < torn.bytes.length; ) {
      const { bytesWritten } = await file.write(torn.bytes.subarray(done));
      if (bytesWritten === 0) throw Object.assign(new Error('nothing was written'), { code: 'ESHORT' });
      done += bytesWritten;
    }
    await file.sync();
  } finally {
    await file.close();
  }
  await syncDir(disk, dirname(path));
  return entryFor(name, torn.bytes, torn.why);
}

async function tornFiles(disk: Disk, path: string): Promise<string[]> {
  const start = `${basename(path)}.torn-`;
  const names = await disk.list(dirname(path));
  return names.filter((name) => name.startsWith(start) && /^\d+$/.test(name.slice(start.length))).sort();
}

function tornName(path: string, number: number): string {
  return `${basename(path)}.torn-${number}`;
}

function entryFor(file: string, bytes: Uint8Array, why: string): Recovered {
  return { kind: 'recovered', file, bytes: bytes.length, sha256: sha256(bytes), why };
}
