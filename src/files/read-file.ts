import { closeSync, constants, fstatSync, openSync, readSync, type Stats, statSync } from 'node:fs';
import { open, stat } from 'node:fs/promises';
import { FileError, unreadable } from './file-error.ts';
import { type FileKind, mostBytes } from './file-kinds.ts';

/**
 * A pipe that took the file's place since it was looked at must not keep the program waiting.
 * Windows has no such flag.
 */
const readFlags = constants.O_RDONLY | (constants.O_NONBLOCK ?? 0);
const chunkBytes = 1024 * 1024;

/**
 * Returns the bytes of a file from elsewhere. Only a regular file is read (no folder, pipe, device
 * or socket), and only one that is no larger than its kind may be; both are looked at before
 * anything is read.
 *
 * @throws FileError `file.missing`, `file.unreadable`, `file.not-regular`, `file.too-large`; the
 *   signal's reason
 */
export async function readForeignFile(path: string, kind: FileKind, signal?: AbortSignal): Promise<Buffer> {
  try {
    refuseUnlessFit(path, kind, await stat(path));
    const file = await open(path, readFlags);
    try {
      const found = await file.stat();
      refuseUnlessFit(path, kind, found);
      return await collect(path, kind, found.size, async (into) => {
        signal?.throwIfAborted();
        return (await file.read(into, 0, into.length, null)).bytesRead;
      });
    } finally {
      await file.close();
    }
  } catch (error) {
    signal?.throwIfAborted();
    throw unreadable(path, error);
  }
}

/**
 * Returns the text of a file from elsewhere, as {@link readForeignFile}. Bytes that are no UTF-8
 * become replacement characters.
 */
export async function readForeignText(path: string, kind: FileKind): Promise<string> {
  return (await readForeignFile(path, kind)).toString('utf8');
}

/** As {@link readForeignFile}, at once: for what is looked at before anything else may go on. */
export function readForeignFileSync(path: string, kind: FileKind): { bytes: Buffer; mode: number } {
  try {
    refuseUnlessFit(path, kind, statSync(path));
    const fd = openSync(path, readFlags);
    try {
      const found = fstatSync(fd);
      refuseUnlessFit(path, kind, found);
      const bytes = Buffer.alloc(found.size);
      let at = 0;
      for (let read = -1; read !== 0 && at < bytes.length; at += read)
        read = readSync(fd, bytes, at, bytes.length - at, null);
      return { bytes: bytes.subarray(0, at), mode: found.mode };
    } finally {
      closeSync(fd);
    }
  } catch (error) {
    throw unreadable(path, error);
  }
}

/** Reads to the end: a file may grow while it is read, but not past what its kind may have. */
async function collect(
  path: string,
  kind: FileKind,
  size: number,
  read: (into: Buffer) => Promise<number>,
): Promise<Buffer> {
  let bytes = Buffer.alloc(size + 1);
  let at = 0;
  for (;;) {
    const count = await read(bytes.subarray(at, at + chunkBytes));
    at += count;
    if (at > mostBytes[kind]) throw tooLarge(path, kind);
    if (count === 0) return bytes.subarray(0, at);
    if (at === bytes.length) bytes = Buffer.concat([bytes, Buffer.alloc(chunkBytes)]);
  }
}

function refuseUnlessFit(path: string, kind: FileKind, found: Stats): void {
  if (!found.isFile()) {
    throw new FileError('file.not-regular', path, `it is ${kindOfEntry(found)}, not a file`, {
      help: `Name a ${kind}.`,
    });
  }
  if (found.size > mostBytes[kind]) throw tooLarge(path, kind);
}

function tooLarge(path: string, kind: FileKind): FileError {
  const most = mostBytes[kind];
  const told = most >= 1024 ** 2 ? `${most / 1024 ** 2} MiB` : `${most / 1024} KiB`;
  return new FileError('file.too-large', path, `it is larger than ${told}, the most that a ${kind} may have`, {
    help: 'Check that it is the right file.',
  });
}

/** Returns what a name in a folder stands for, in words. */
export function kindOfEntry(found: Stats): string {
  if (found.isDirectory()) return 'a folder';
  if (found.isFIFO()) return 'a pipe';
  if (found.isSocket()) return 'a socket';
  return 'a device';
}
