import { OhmwrightError } from '../../errors/ohmwright-error.ts';
import type { Entry, NewEntry } from '../entries/entries.ts';
import type { PersonalData } from '../entries/personal-data.ts';
import type { Disk, DiskFile } from '../store/disk.ts';
import { closedError, diskReason, recordError } from '../store/record-error.ts';
import { type ChainPlace, firstPrev, sealEntry } from './chain.ts';
import { parseRecord } from './parse-record.ts';

/**
 * Where a chain goes on: hash and number of its last entry, length of the file, whether its last
 * newline is missing.
 */
export interface ChainEnd {
  prev: string;
  n: number;
  bytes: number;
  unended: boolean;
}

/** The end of a chain without entries. */
export const chainStart: ChainEnd = { prev: firstPrev, n: 0, bytes: 0, unended: false };

/**
 * Writes entries at the end of a record's file, one after another, and stops for good at the first
 * one that fails: after a write or a sync that failed nobody knows what stands there.
 */
export class ChainWriter {
  readonly #path: string;
  readonly #disk: Disk;
  readonly #file: DiskFile;
  readonly #clock: () => number;
  #end: ChainEnd;
  #broken: string | null = null;

  constructor(path: string, disk: Disk, file: DiskFile, clock: () => number, end: ChainEnd) {
    this.#path = path;
    this.#disk = disk;
    this.#file = file;
    this.#clock = clock;
    this.#end = end;
  }

  /**
   * Seals an entry (a function makes it from its place in the chain), writes its line with one
   * write, syncs the file's data, and returns it as it stands in the file. `meanwhile` is called
   * with it while the disk syncs: it is written then, but not yet safe. `apart`: as in `sealEntry`.
   *
   * @throws OhmwrightError `record.not-captured`, `record.broken`, `record.changed`, `record.entry`
   */
  async write(
    made: NewEntry | ((place: ChainPlace) => NewEntry),
    meanwhile: (stored: Entry) => void = () => undefined,
    apart: PersonalData = {},
  ): Promise<Entry> {
    // biome-ignore lint/style/noRestrictedGlobals: it only writes down the time that the clock it was given tells
    const place = { prev: this.#end.prev, n: this.#end.n + 1, at: new Date(this.#clock()).toISOString() };
    const entry = typeof made === 'function' ? made(place) : made;
    const name = entryName(entry);
    if (this.#broken !== null) {
      const help = 'Resume the job: that sets aside what is torn and goes on from the last whole entry.';
      throw recordError('record.broken', `${name} is NOT captured: ${this.#broken}`, help);
    }
    const { n, bytes, unended } = this.#end;
    const sealed = sealEntry(entry, place, apart);
    if (!sealed.ok) {
      const help = 'This is a fault in ohmwright; the record is as it was.';
      throw recordError('record.entry', `${name} is NOT captured: it is not a valid entry (${sealed.what})`, help);
    }
    const data = unended ? Buffer.concat([Buffer.from('\n'), sealed.line]) : sealed.line;
    await this.#put(data, name, () => meanwhile(sealed.entry));
    this.#end = { prev: sealed.sha256, n: n + 1, bytes: bytes + data.length, unended: false };
    return sealed.entry;
  }

  /** Hash of the last entry written. */
  get head(): string {
    return this.#end.prev;
  }

  /** Returns the error for an entry that comes too late. */
  tooLate(entry: NewEntry, why: string): OhmwrightError {
    return closedError(`${entryName(entry)} is NOT captured: ${why}`);
  }

  async close(): Promise<void> {
    await this.#file.close();
  }

  async #put(data: Buffer, name: string, meanwhile: () => void): Promise<void> {
    let doing = 'look at';
    try {
      const why = await this.#whyNotOurs();
      if (why !== null) throw this.#changed(name, why);
      doing = 'write to';
      const { bytesWritten } = await this.#file.write(data);
      // a disk that fills up takes a part and only then says so
      if (bytesWritten !== data.length) throw Object.assign(new Error('short write'), { code: 'ESHORT' });
      doing = 'sync';
      const syncing = this.#file.datasync();
      meanwhile();
      await syncing;
    } catch (error) {
      if (error instanceof OhmwrightError) throw error;
      const { what, help } = diskReason(error);
      // what is said not to be captured must not stand there all the same: it never was anybody's
      if (doing === 'sync') await this.#file.truncate(this.#end.bytes).catch(() => undefined);
      this.#broken = `an earlier entry could not be stored in ${this.#path} (${what})`;
      const message = `${name} is NOT captured: cannot ${doing} ${this.#path}: ${what}`;
      throw recordError('record.not-captured', message, help, error);
    }
  }

  /**
   * Reads the file again and throws unless it is the one that was written, byte for byte as far as
   * length and chain tell.
   *
   * @throws OhmwrightError `record.changed`, `record.not-captured`
   */
  async check(): Promise<void> {
    const name = 'the end of the job';
    const why = await this.#whyNotOurs();
    if (why !== null) throw this.#changed(name, why);
    const { lines, damage, torn } = parseRecord(await this.#disk.read(this.#path));
    const isWhole = damage.length === 0 && torn === null && lines.length === this.#end.n;
    if (!isWhole || lines.at(-1)?.sha256 !== this.#end.prev)
      throw this.#changed(name, 'its entries are not those that were written');
  }

  /**
   * Why the file under the path is not the one that is being written, or not as it was left; null
   * when all is well.
   */
  async #whyNotOurs(): Promise<string | null> {
    const ours = await this.#file.look();
    const there = await this.#disk.look(this.#path);
    if (there === null || ours.links === 0) return 'it was deleted or moved away';
    if (there.device !== ours.device || there.inode !== ours.inode) return 'another file was put in its place';
    if (ours.links > 1) return 'it has a second name (a hard link)';
    return ours.bytes === this.#end.bytes ? null : 'another program has written to it';
  }

  #changed(name: string, why: string): OhmwrightError {
    this.#broken = `${this.#path} was changed: ${why}`;
    const help = 'Run `ohmwright verify` on it, and see that nothing else touches it.';
    return recordError('record.changed', `${name} is NOT captured: ${this.#broken}`, help);
  }
}

function entryName(entry: NewEntry): string {
  return 'check' in entry && entry.check !== null ? `${entry.kind} of ${entry.check}` : `entry '${entry.kind}'`;
}
