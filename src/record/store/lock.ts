import { z } from 'zod';
import { errnoOf } from '../../errors/errno.ts';
import type { Disk } from './disk.ts';
import type { LockHolder, LockSelf } from './lock-holder.ts';
import { diskError, recordError } from './record-error.ts';

/** A lock that is held. `tookOver`: the holder whose stale lock was set aside. */
export interface RecordLock {
  readonly path: string;
  readonly tookOver: LockHolder | null;
  release(): Promise<void>;
}

const holderSchema = z.object({
  pid: z.int().min(1),
  host: z.string(),
  startedAt: z.string(),
  process: z.string().nullable(),
});

/**
 * Takes the one writer's lock of a record: the file RECORD.lock, created whole and exclusively. A
 * lock of a process that is gone from this host is taken over; a lock from another host never is,
 * since nobody here can tell whether it lives.
 *
 * @throws OhmwrightError `record.locked` naming the holder, `record.disk`
 */
export async function takeLock(disk: Disk, record: string, nowMs: number, self: LockSelf): Promise<RecordLock> {
  const path = `${record}.lock`;
  const holder: LockHolder = {
    pid: self.pid,
    host: self.host,
    startedAt: new Date(nowMs).toISOString(),
    process: self.process,
  };
  const text = `${JSON.stringify(holder)}\n`;
  if (await createWhole(disk, path, text)) return held(disk, path, text, null);
  const stale = await staleHolder(disk, path, record, self);
  if (stale !== null) await setAside(disk, path, stale.text, record);
  if (await createWhole(disk, path, text)) return held(disk, path, text, stale?.holder ?? null);
  throw lockedBy(record, path, parseHolder(await readOr(disk, path, '')));
}

/**
 * Creates the lock with its content in one step (a hard link fails if the name is taken). Returns
 * false if it exists.
 */
async function createWhole(disk: Disk, path: string, text: string): Promise<boolean> {
  const own = `${path}.${process.pid}.${crypto.randomUUID().slice(0, 8)}`;
  try {
    await writeNew(disk, own, text);
    try {
      await disk.link(own, path);
      return true;
    } catch (error) {
      if (errnoOf(error) === 'EEXIST') return false;
      if (!['EPERM', 'ENOTSUP', 'ENOSYS', 'EOPNOTSUPP', 'EMLINK'].includes(errnoOf(error))) throw error;
    } finally {
      await disk.remove(own);
    }
    // a file system without hard links
    await writeNew(disk, path, text);
    return true;
  } catch (error) {
    if (errnoOf(error) === 'EEXIST') return false;
    throw diskError('lock the record with', path, error);
  }
}

async function writeNew(disk: Disk, path: string, text: string): Promise<void> {
  const file = await disk.open(path, 'wx');
  try {
    const bytes = Buffer.from(text);
    const { bytesWritten } = await file.write(bytes);
    if (bytesWritten !== bytes.length) throw Object.assign(new Error('short write'), { code: 'ESHORT' });
  } catch (error) {
    await file.close();
    await disk.remove(path);
    throw error;
  }
  await file.close();
}

/** Returns the holder of a lock that may be taken over; null if the lock went away meanwhile. */
async function staleHolder(
  disk: Disk,
  path: string,
  record: string,
  self: LockSelf,
): Promise<{ holder: LockHolder; text: string } | null> {
  const text = await readOr(disk, path, null);
  if (text === null) return null;
  const holder = parseHolder(text);
  if (holder === null || holder.host !== self.host || self.look(holder) === 'alive') {
    throw lockedBy(record, path, holder);
  }
  return { holder, text };
}

/**
 * Moves a stale lock away. If another process was faster and the lock is not the stale one any
 * more, puts it back and refuses.
 */
async function setAside(disk: Disk, path: string, staleText: string, record: string): Promise<void> {
  const aside = `${path}.stale-${crypto.randomUUID().slice(0, 8)}`;
  try {
    await disk.rename(path, aside);
  } catch (error) {
    if (errnoOf(error) === 'ENOENT') return;
    throw diskError('take over the lock', path, error);
  }
  const moved = await readOr(disk, aside, '');
  if (moved !== staleText) {
    await disk.link(aside, path).catch((error: unknown) => {
      if (errnoOf(error) !== 'EEXIST') throw diskError('put back the lock', path, error);
    });
    await disk.remove(aside);
    throw lockedBy(record, path, parseHolder(moved));
  }
  await disk.remove(aside);
}

function held(disk: Disk, path: string, text: string, tookOver: LockHolder | null): RecordLock {
  return {
    path,
    tookOver,
    async release() {
      // only our own lock: someone may have removed it by hand and another writer taken it
      if ((await readOr(disk, path, null)) !== text) return;
      await disk.remove(path);
    },
  };
}

async function readOr<T>(disk: Disk, path: string, missing: T): Promise<string | T> {
  try {
    return (await disk.read(path, 'lock')).toString();
  } catch (error) {
    if (errnoOf(error) === 'ENOENT') return missing;
    throw diskError('read the lock', path, error);
  }
}

function parseHolder(text: string): LockHolder | null {
  try {
    const parsed = holderSchema.safeParse(JSON.parse(text));
    return parsed.success ? parsed.data : null;
  } catch {
    return null;
  }
}

function lockedBy(record: string, path: string, holder: LockHolder | null) {
  const who = holder === null ? 'someone unknown' : `process ${holder.pid} on ${holder.host} since ${holder.startedAt}`;
  return recordError(
    'record.locked',
    `the record ${record} is being written by ${who}`,
    `Finish there first. If nothing is running there any more, remove ${path} and try again.`,
  );
}
