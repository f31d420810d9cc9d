import { randomBytes } from 'node:crypto';
import {
  closeSync,
  constants,
  fsyncSync,
  linkSync,
  openSync,
  readSync,
  realpathSync,
  renameSync,
  type Stats,
  statSync,
  unlinkSync,
  writeSync,
} from 'node:fs';
import { basename, dirname, join } from 'node:path';
import { errnoOf } from '../errors/errno.ts';
import { alreadyThere, FileError, unwritable } from './file-error.ts';
import { kindOfEntry } from './read-file.ts';

/** What decides whether an output may take the place of a file. */
export interface OutputOptions {
  /** The person has said that what stands there may be replaced. A job record never is. */
  force?: boolean;
  /** For its owner alone: nobody else may read or write it, from the first byte on. */
  isPrivate?: boolean;
}

/** An output that is written as it comes. */
export interface OpenOutput {
  readonly path: string;
  /** @throws FileError `output.failed` */
  write(bytes: Uint8Array | string): void;
  /** Syncs and closes it; a second call does nothing. @throws FileError `output.failed` */
  close(): void;
}

/**
 * Writes a whole file: aside, synced, and only then under its name, so that a crash leaves the old
 * or the new one. It never takes the place of a job record, and of nothing else without `force`.
 *
 * @throws FileError `output.exists`, `output.record`, `output.not-regular`, `output.failed`
 */
export function writeOutput(path: string, content: Uint8Array | string, options: OutputOptions = {}): void {
  const output = beginAside(path, options);
  try {
    putAll(output.fd, content);
    fsyncSync(output.fd);
    closeSync(output.fd);
    takeName(output, options);
  } catch (error) {
    abandon(output);
    throw unwritable(path, error);
  }
}

/**
 * Opens a file that is written as it comes: what is in it then stands under its name even after a
 * crash. The same rules hold as for {@link writeOutput}; the new file is there, and empty, when
 * this returns.
 *
 * @throws FileError `output.exists`, `output.record`, `output.not-regular`, `output.failed`
 */
export function openOutput(path: string, options: OutputOptions = {}): OpenOutput {
  const output = beginAside(path, options);
  try {
    takeName(output, options);
  } catch (error) {
    abandon(output);
    throw unwritable(path, error);
  }
  let fd: number | null = output.fd;
  const orFailed = (act: (open: number) => void): void => {
    if (fd === null) return;
    try {
      act(fd);
    } catch (error) {
      throw unwritable(path, error);
    }
  };
  return {
    path,
    write: (bytes) => orFailed((open) => putAll(open, bytes)),
    close: () =>
      orFailed((open) => {
        fd = null;
        try {
          fsyncSync(open);
        } finally {
          closeSync(open);
        }
      }),
  };
}

interface Aside {
  fd: number;
  /** Where it is written. */
  path: string;
  /** The name that it takes; of a link, what the link leads to. */
  target: string;
}

/** Looks at what stands in the place of an output, and opens a new file beside it. */
function beginAside(path: string, { force = false, isPrivate = false }: OutputOptions): Aside {
  try {
    const found = statSync(path, { throwIfNoEntry: false });
    if (found !== undefined) refuseUnlessReplaceable(path, found, force);
    const target = found === undefined ? path : realpathSync(path);
    const beside = join(dirname(target), `.${basename(target)}.${randomBytes(6).toString('hex')}.part`);
    const mode = isPrivate ? 0o600 : found === undefined ? 0o666 : found.mode & 0o777;
    return { fd: openSync(beside, 'wx', mode), path: beside, target };
  } catch (error) {
    throw unwritable(path, error);
  }
}

function refuseUnlessReplaceable(path: string, found: Stats, force: boolean): void {
  if (!found.isFile()) {
    const help = 'Name a file, or - for standard output where the command takes it.';
    throw new FileError('output.not-regular', path, `it is ${kindOfEntry(found)}, not a file`, { help });
  }
  if (isRecord(path)) {
    const help = 'Name another file; a record can only be moved away by hand.';
    throw new FileError('output.record', path, 'it is a job record, and a record is never written over', { help });
  }
  if (!force) throw alreadyThere(path);
}

/**
 * Gives the new file its name; without `force` only if the name is still free, whatever happened
 * meanwhile.
 */
function takeName({ path, target }: Aside, { force = false }: OutputOptions): void {
  if (force) renameSync(path, target);
  else {
    try {
      linkSync(path, target);
    } catch (error) {
      // a file system without hard links: the name is taken first, then filled
      if (!['EPERM', 'ENOTSUP', 'EOPNOTSUPP', 'ENOSYS', 'EMLINK'].includes(errnoOf(error))) throw error;
      closeSync(openSync(target, 'wx'));
      renameSync(path, target);
      syncFolder(target);
      return;
    }
    unlinkSync(path);
  }
  syncFolder(target);
}

function abandon({ fd, path }: Aside): void {
  for (const act of [() => closeSync(fd), () => unlinkSync(path)]) {
    try {
      act();
    } catch {
      // closed or gone already
    }
  }
}

function putAll(fd: number, content: Uint8Array | string): void {
  const bytes = typeof content === 'string' ? Buffer.from(content) : content;
  for (let at = 0; at < bytes.length; ) at += writeSync(fd, bytes, at);
}

/** Where folders can't be opened or synced (Windows), the file itself is synced all the same. */
function syncFolder(path: string): void {
  try {
    const fd = openSync(dirname(path), 'r');
    try {
      fsyncSync(fd);
    } finally {
      closeSync(fd);
    }
  } catch {
    // see above
  }
}

/** How every record begins: a line is canonical JSON, and its body begins with the time. */
const recordHead = /^\{"body":\{"at":"\d{4}-/;
const headBytes = 64;

/**
 * Returns whether a file is a job record: by its name, or by what stands in it, whatever its name
 * is.
 */
function isRecord(path: string): boolean {
  if (realpathSync(path).endsWith('.owjob')) return true;
  const fd = openSync(path, constants.O_RDONLY | (constants.O_NONBLOCK ?? 0));
  try {
    const head = Buffer.alloc(headBytes);
    return recordHead.test(head.toString('latin1', 0, readSync(fd, head, 0, headBytes, 0)));
  } finally {
    closeSync(fd);
  }
}
