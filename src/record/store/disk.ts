import { fstatSync, type Stats, statSync, writeSync } from 'node:fs';
import * as fs from 'node:fs/promises';
import { errnoOf } from '../../errors/errno.ts';
import type { FileKind } from '../../files/file-kinds.ts';
import { readForeignFile } from '../../files/read-file.ts';

/** Which file it is, and what it looks like. */
export interface FileLook {
  device: number;
  inode: number;
  /** Names that it has; 0: none any more. */
  links: number;
  /** Length in bytes. */
  bytes: number;
}

/** An open file, as far as a record needs one. */
export interface DiskFile {
  write(bytes: Uint8Array): Promise<{ bytesWritten: number }>;
  datasync(): Promise<void>;
  sync(): Promise<void>;
  truncate(length: number): Promise<void>;
  look(): Promise<FileLook>;
  close(): Promise<void>;
}

/**
 * The file operations of the record; tests put failing ones in their place. Failures are Node's
 * errors with an errno `code`.
 */
export interface Disk {
  /**
   * `wx`, `ax`: create, fail if it exists; `a`: append; `r`: read (of a directory too, to sync it).
   */
  open(path: string, flags: 'wx' | 'ax' | 'a' | 'r'): Promise<DiskFile>;
  /** Null: there is no such file. */
  look(path: string): Promise<FileLook | null>;
  /** Returns the path of what a path names in the end, symbolic links followed. */
  realPath(path: string): Promise<string>;
  /** Regular files only, no larger than their kind may be; 'record' if not said. */
  read(path: string, kind?: FileKind): Promise<Buffer>;
  list(dir: string): Promise<string[]>;
  makeDir(dir: string): Promise<void>;
  link(existing: string, path: string): Promise<void>;
  rename(from: string, to: string): Promise<void>;
  remove(path: string): Promise<void>;
}

/** The real disk. */
export const realDisk: Disk = {
  async open(path, flags) {
    const handle = await fs.open(path, flags, 0o644);
    return {
      // position null: where O_APPEND says, in one write. Into the page cache: done at once, where
      // a way over the thread pool and back takes as long as a tenth of the sync; only the sync
      // waits for the disk
      write: async (bytes) => ({ bytesWritten: writeSync(handle.fd, bytes, 0, bytes.length, null) }),
      datasync: () => handle.datasync(),
      sync: () => handle.sync(),
      truncate: (length) => handle.truncate(length),
      look: async () => lookOf(fstatSync(handle.fd)),
      close: () => handle.close(),
    };
  },
  async look(path) {
    const stats = statSync(path, { throwIfNoEntry: false });
    return stats === undefined ? null : lookOf(stats);
  },
  realPath: (path) => fs.realpath(path),
  read: (path, kind = 'record') => readForeignFile(path, kind),
  list: (dir) => fs.readdir(dir),
  async makeDir(dir) {
    await fs.mkdir(dir, { recursive: true });
  },
  link: (existing, path) => fs.link(existing, path),
  rename: (from, to) => fs.rename(from, to),
  remove: (path) => fs.unlink(path),
};

function lookOf({ dev, ino, nlink, size }: Stats): FileLook {
  return { device: dev, inode: ino, links: nlink, bytes: size };
}

/**
 * Syncs a directory, so that a file created in it survives a power cut. Where directories can't be
 * opened or synced (Windows), it does nothing.
 */
export async function syncDir(disk: Disk, dir: string): Promise<void> {
  let handle: DiskFile;
  try {
    handle = await disk.open(dir, 'r');
  } catch (error) {
    if (['EISDIR', 'EPERM', 'EACCES'].includes(errnoOf(error))) return;
    throw error;
  }
  try {
    await handle.sync();
  } catch (error) {
    if (!['EINVAL', 'EPERM', 'ENOTSUP', 'EBADF'].includes(errnoOf(error))) throw error;
  } finally {
    await handle.close();
  }
}
