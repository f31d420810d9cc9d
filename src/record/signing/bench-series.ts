import { randomBytes } from 'node:crypto';
import { dirname } from 'node:path';
import { z } from 'zod';
import { type BenchPlace, benchPlaceSchema } from '../entries/bench-place.ts';
import { realDisk, syncDir } from '../store/disk.ts';
import { takeLock } from '../store/lock.ts';
import { lockSelf } from '../store/lock-holder.ts';
import { diskError } from '../store/record-error.ts';
import { writeBeside } from '../store/write-beside.ts';
import { type BegunRecord, begunLine, begunPath } from './begun-records.ts';
import { readSuccession } from './bench-key.ts';

const ending = '.series.json';

const counterSchema = z.strictObject({
  format: z.literal(1),
  series: benchPlaceSchema.shape.series,
  /** The last number that was taken; 0: none yet. */
  number: z.int().min(0),
  head: benchPlaceSchema.shape.before,
  /** Inode of the key's file: a key that was put back from a copy has another one. */
  keyInode: z.number(),
  /** The series began because the key before handed over. */
  succeeded: z.literal(true).exactOptional(),
});
type Counter = z.infer<typeof counterSchema>;

/**
 * A counter is held for a write or two; so often another bench is waited for, so long each time.
 */
const triesForLock = 40;
const lockPauseMs = 50;

/**
 * The chain of a bench over its records: one series of numbers a key, whatever folders the records
 * are in. The counter lies beside the key and is written before a number is used, so that no number
 * is used twice.
 */
export class BenchSeries {
  readonly #keyPath: string;
  readonly #publicKey: string;

  /**
   * `keyPath`: the file of the key, which has to be there; `publicKey`: its public half in base64.
   */
  constructor(keyPath: string, publicKey: string) {
    this.#keyPath = keyPath;
    this.#publicKey = publicKey;
  }

  /**
   * Takes the next number and returns what the opening of a record says of it. @throws
   * OhmwrightError `record.disk`, `record.locked`
   */
  async take(): Promise<BenchPlace> {
    return this.#locked(async (keyInode) => {
      const { counter, begins } = await this.#read(keyInode);
      const number = counter.number + 1;
      await this.#write({ ...counter, number });
      const place = { key: this.#publicKey, series: counter.series, number, before: counter.head, begins };
      const succession = readSuccession(this.#keyPath).find(({ to }) => to === this.#publicKey);
      if (begins !== null || number > 1 || counter.succeeded !== true || succession === undefined) return place;
      return { ...place, begins: 'key-succeeded', succession };
    });
  }

  /** Keeps where a record with a number was begun or added to, so that it is told from a missing one. */
  async keepBegun({ series, number }: BenchPlace, record: Omit<BegunRecord, 'series' | 'number'>): Promise<void> {
    await this.#locked(async () => {
      const file = await realDisk.open(begunPath(this.#keyPath), 'a');
      try {
        await file.write(Buffer.from(begunLine({ series, number, ...record })));
        await file.datasync();
      } finally {
        await file.close();
      }
    });
  }

  /** Returns where the bench's records end as far as it knows; null when it has counted none. */
  async end(): Promise<{ series: string; number: number; sha256: string | null } | null> {
    return this.#locked(async (keyInode) => {
      const { counter } = await this.#read(keyInode);
      const { series, number, head } = counter;
      return number === 0 ? null : { series, number, sha256: head?.number === number ? head.sha256 : null };
    });
  }

  /** Returns the series that a counter beside a key is at, and its last number; null: there is none. */
  static async endOf(keyPath: string): Promise<{ series: string; number: number } | null> {
    const text = await realDisk.read(`${keyPath}${ending}`).catch(() => null);
    try {
      const { series, number } = counterSchema.parse(JSON.parse(text?.toString('utf8') ?? ''));
      return { series, number };
    } catch {
      return null;
    }
  }

  /** Begins a new series for the key that `change` puts in the place of this one. */
  async succeed(change: () => Promise<void>): Promise<void> {
    await this.#locked(async () => {
      await change();
      const keyInode = (await realDisk.look(this.#keyPath))?.inode ?? 0;
      await this.#write({ ...fresh(keyInode), succeeded: true });
    });
  }

  /**
   * Keeps the head of a record, for the opening of the next one; that of an earlier record than the
   * latest changes nothing.
   */
  async keepHead({ series, number }: BenchPlace, sha256: string): Promise<void> {
    await this.#locked(async (keyInode) => {
      const { counter } = await this.#read(keyInode);
      if (counter.series === series && counter.number === number)
        await this.#write({ ...counter, head: { number, sha256 } });
    });
  }

  get #path(): string {
    return `${this.#keyPath}${ending}`;
  }

  async #read(keyInode: number): Promise<{ counter: Counter; begins: BenchPlace['begins'] }> {
    let parsed: Counter;
    try {
      parsed = counterSchema.parse(JSON.parse((await realDisk.read(this.#path)).toString('utf8')));
    } catch {
      return { counter: fresh(keyInode), begins: 'no-counter' };
    }
    return parsed.keyInode === keyInode
      ? { counter: parsed, begins: null }
      : { counter: fresh(keyInode), begins: 'key-put-back' };
  }

  async #write(counter: Counter): Promise<void> {
    const beside = await writeBeside(realDisk, this.#path, Buffer.from(`${JSON.stringify(counter)}\n`));
    await realDisk.rename(beside, this.#path);
    await syncDir(realDisk, dirname(this.#path));
  }

  async #locked<T>(work: (keyInode: number) => Promise<T>): Promise<T> {
    for (let tried = 1; ; tried++) {
      try {
        const lock = await takeLock(realDisk, this.#path, Date.now(), lockSelf());
        try {
          return await work((await realDisk.look(this.#keyPath))?.inode ?? 0);
        } finally {
          await lock.release();
        }
      } catch (error) {
        const isHeld = (error as { code?: string }).code === 'record.locked';
        if (!isHeld || tried >= triesForLock) throw diskError('count this record in', this.#path, error);
        await new Promise((done) => setTimeout(done, lockPauseMs));
      }
    }
  }
}

function fresh(keyInode: number): Counter {
  return { format: 1, series: randomBytes(8).toString('hex'), number: 0, head: null, keyInode };
}
