import { basename, dirname } from 'node:path';
import type { Disk, DiskFile, FileLook } from '../../src/record/store/disk.ts';

/** One operation on the disk, before it is done. */
export interface DiskOperation {
  name:
    | 'open'
    | 'write'
    | 'datasync'
    | 'sync'
    | 'truncate'
    | 'look'
    | 'read'
    | 'list'
    | 'makeDir'
    | 'link'
    | 'rename'
    | 'remove';
  path: string;
}

/** What goes wrong with an operation: an errno; or so many bytes of a write are taken, with an errno or without a word. */
export type DiskFault = { errno: string } | { takes: number; errno?: string } | null;

/** A disk in memory that does as the real one does, until `fault` says otherwise. */
export class MemoryDisk implements Disk {
  readonly files = new Map<string, Buffer>();
  readonly log: string[] = [];
  readonly #inodes = new Map<string, number>();
  #lastInode = 0;
  fault: (operation: DiskOperation) => DiskFault = () => null;

  async open(path: string, flags: 'wx' | 'ax' | 'a' | 'r'): Promise<DiskFile> {
    this.#meet('open', path);
    const exists = this.files.has(path);
    if (flags.endsWith('x') && exists) throw errno('EEXIST');
    if (flags !== 'r' && !exists) this.files.set(path, Buffer.alloc(0));
    const inode = this.#inodeOf(path);
    const content = () => this.files.get(path) ?? Buffer.alloc(0);
    return {
      write: async (bytes) => {
        const fault = this.#meet('write', path, true);
        const taken = fault !== null && 'takes' in fault ? fault.takes : bytes.length;
        this.files.set(path, Buffer.concat([content(), bytes.subarray(0, taken)]));
        if (fault?.errno !== undefined) throw errno(fault.errno);
        return { bytesWritten: taken };
      },
      datasync: async () => {
        this.#meet('datasync', path);
      },
      sync: async () => {
        this.#meet('sync', path);
      },
      truncate: async (length) => {
        this.#meet('truncate', path);
        this.files.set(path, content().subarray(0, length));
      },
      look: async () => {
        this.#meet('look', path);
        return { device: 0, inode, links: this.#inodes.get(path) === inode ? 1 : 0, bytes: content().length };
      },
      close: async () => {
        this.log.push(`close ${basename(path)}`);
      },
    };
  }

  async look(path: string): Promise<FileLook | null> {
    const content = this.files.get(path);
    return content === undefined ? null : { device: 0, inode: this.#inodeOf(path), links: 1, bytes: content.length };
  }

  async realPath(path: string): Promise<string> {
    this.#existing(path);
    return path;
  }

  /** A file of this content in the place of what was there: another file. */
  replace(path: string, content: Buffer): void {
    this.files.set(path, content);
    this.#inodes.delete(path);
  }

  #inodeOf(path: string): number {
    const known = this.#inodes.get(path);
    if (known !== undefined) return known;
    this.#inodes.set(path, ++this.#lastInode);
    return this.#lastInode;
  }

  async read(path: string): Promise<Buffer> {
    this.#meet('read', path);
    return Buffer.from(this.#existing(path));
  }

  async list(dir: string): Promise<string[]> {
    this.#meet('list', dir);
    return [...this.files.keys()].filter((path) => dirname(path) === dir).map((path) => basename(path));
  }

  async makeDir(dir: string): Promise<void> {
    this.#meet('makeDir', dir);
  }

  async link(existing: string, path: string): Promise<void> {
    this.#meet('link', path);
    if (this.files.has(path)) throw errno('EEXIST');
    this.files.set(path, this.#existing(existing));
  }

  async rename(from: string, to: string): Promise<void> {
    this.#meet('rename', from);
    this.files.set(to, this.#existing(from));
    this.#inodes.set(to, this.#inodeOf(from));
    this.#forget(from);
  }

  async remove(path: string): Promise<void> {
    this.#meet('remove', path);
    this.#existing(path);
    this.#forget(path);
  }

  #forget(path: string): void {
    this.files.delete(path);
    this.#inodes.delete(path);
  }

  #existing(path: string): Buffer {
    const bytes = this.files.get(path);
    if (bytes === undefined) throw errno('ENOENT');
    return bytes;
  }

  #meet(name: DiskOperation['name'], path: string, mayTake = false): DiskFault {
    this.log.push(`${name} ${basename(path)}`);
    const fault = this.fault({ name, path });
    if (fault !== null && !(mayTake && 'takes' in fault)) throw errno(fault.errno ?? 'EIO');
    return fault;
  }
}

function errno(code: string): Error {
  return Object.assign(new Error(`${code}: made for a test`), { code });
}
