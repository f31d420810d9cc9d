import { dirname } from 'node:path';
import type { z } from 'zod';
import { errnoOf } from '../errors/errno.ts';
import type { Disk } from '../record/store/disk.ts';
import { ledgerDiskError } from './record-archive.ts';

/**
 * A file of lines of JSON that only grows: a line is one write and one sync. A last line that a
 * crash cut is passed over, and ended before the next one.
 */
export class LineFile<Line> {
  readonly #disk: Disk;
  readonly #path: string;
  readonly #schema: z.ZodType<Line>;
  #endsWhole = false;

  constructor(disk: Disk, path: string, schema: z.ZodType<Line>) {
    this.#disk = disk;
    this.#path = path;
    this.#schema = schema;
  }

  /** Returns all lines; those that are none of the file are left out. @throws OhmwrightError `ledger.disk` */
  async lines(): Promise<Line[]> {
    return (await this.#text()).split('\n').flatMap((text) => {
      try {
        return [this.#schema.parse(JSON.parse(text))];
      } catch {
        return [];
      }
    });
  }

  /** Adds a line. @throws OhmwrightError `ledger.disk` */
  async add(line: Line): Promise<void> {
    const before = this.#endsWhole || /(^|\n)$/.test(await this.#text()) ? '' : '\n';
    this.#endsWhole = false;
    const bytes = Buffer.from(`${before}${JSON.stringify(line)}\n`);
    try {
      await this.#disk.makeDir(dirname(this.#path));
      const file = await this.#disk.open(this.#path, 'a');
      try {
        const { bytesWritten } = await file.write(bytes);
        if (bytesWritten !== bytes.length) throw Object.assign(new Error('short write'), { code: 'ESHORT' });
        await file.sync();
      } finally {
        await file.close();
      }
    } catch (error) {
      throw ledgerDiskError('write', this.#path, error);
    }
    this.#endsWhole = true;
  }

  async #text(): Promise<string> {
    try {
      return (await this.#disk.read(this.#path, 'arrivals')).toString('utf8');
    } catch (error) {
      if (errnoOf(error) === 'ENOENT') return '';
      throw ledgerDiskError('read', this.#path, error);
    }
  }
}
