import { dirname, join } from 'node:path';
import { errnoOf } from '../errors/errno.ts';
import { type Disk, syncDir } from '../record/store/disk.ts';
import { recordEnding } from '../record/store/job-name.ts';
import { diskReason } from '../record/store/record-error.ts';
import { writeBeside } from '../record/store/write-beside.ts';
import { ledgerError } from './ledger-error.ts';

/** The records of a ledger as files, by identity: 256 folders, so that none grows too large. */
export class RecordArchive {
  readonly #disk: Disk;
  readonly #folder: string;

  constructor(disk: Disk, folder: string) {
    this.#disk = disk;
    this.#folder = folder;
  }

  pathOf(name: string): string {
    return join(this.#folder, name.slice(0, 2), `${name}${recordEnding}`);
  }

  /** Returns a record's bytes; null: it is not there. @throws OhmwrightError `ledger.disk` */
  async read(name: string): Promise<Buffer | null> {
    try {
      return await this.#disk.read(this.pathOf(name));
    } catch (error) {
      if (errnoOf(error) === 'ENOENT') return null;
      throw ledgerDiskError('read', this.pathOf(name), error);
    }
  }

  /**
   * Writes a record: aside, synced, and only then under its name, so that a crash leaves the old one
   * or the new one.
   *
   * @throws OhmwrightError `ledger.disk`
   */
  async write(name: string, bytes: Uint8Array): Promise<void> {
    const path = this.pathOf(name);
    try {
      await this.#disk.makeDir(dirname(path));
      await this.#disk.rename(await writeBeside(this.#disk, path, bytes), path);
      await syncDir(this.#disk, dirname(path));
    } catch (error) {
      throw ledgerDiskError('write', path, error);
    }
  }

  /** Returns the names of all records, in order. @throws OhmwrightError `ledger.disk` */
  async names(): Promise<string[]> {
    const names: string[] = [];
    for (const part of (await this.#listed(this.#folder)).sort()) {
      const files = (await this.#listed(join(this.#folder, part))).filter((name) => name.endsWith(recordEnding));
      names.push(...files.sort().map((name) => name.slice(0, -recordEnding.length)));
    }
    return names;
  }

  async #listed(folder: string): Promise<string[]> {
    try {
      return await this.#disk.list(folder);
    } catch (error) {
      if (['ENOENT', 'ENOTDIR'].includes(errnoOf(error))) return [];
      throw ledgerDiskError('list', folder, error);
    }
  }
}

/** Returns the error for a file operation of a ledger that failed. */
export function ledgerDiskError(doing: string, path: string, error: unknown) {
  const { what } = diskReason(error);
  const help = 'Make room or the folder writable, and do it again: what was taken before is kept.';
  return ledgerError('ledger.disk', `cannot ${doing} ${path}: ${what}`, help, error);
}
