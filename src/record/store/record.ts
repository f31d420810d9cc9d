import { dirname, join, resolve } from 'node:path';
import { OhmwrightError } from '../../errors/ohmwright-error.ts';
import type { ChainPlace } from '../chain/chain.ts';
import { ChainWriter, chainStart } from '../chain/chain-writer.ts';
import { parseRecord } from '../chain/parse-record.ts';
import type { BenchPlace } from '../entries/bench-place.ts';
import { type Entry, type EntryOf, type NewEntry, type Opening, recordFormat } from '../entries/entries.ts';
import { type Customer, commitTo, type PersonalData } from '../entries/personal-data.ts';
import { currentRules } from '../entries/rules.ts';
import type { BenchKey } from '../signing/bench-key.ts';
import type { BenchSeries } from '../signing/bench-series.ts';
import { signedEntry } from '../signing/signed-head.ts';
import { closingEntry, emptyJob, foldEntry } from '../state/fold.ts';
import type { JobState } from '../state/job-state.ts';
import { syncDir } from './disk.ts';
import { jobName, recordEnding } from './job-name.ts';
import { type RecordLock, takeLock } from './lock.ts';
import type { LockHolder } from './lock-holder.ts';
import { type RecordDeps, withDefaults } from './record-deps.ts';
import { closedError, recordError } from './record-error.ts';
import { openNew, openToAppend, orDiskError, refuseSecondName, resumable } from './record-file.ts';
import { recover } from './recover.ts';

export interface CreateOptions extends RecordDeps {
  /** The record's file, in place of DIR/JOB.owjob. */
  file?: string;
  /** Who the device belongs to: stands apart from the chain, which holds commitments to it. */
  customer?: Customer;
  /** The bench that counts this record among its own. */
  series?: BenchSeries;
}

export interface ReopenOptions extends RecordDeps {
  /** Name and version of the program that resumes; default: that of the opening entry. */
  tool?: string;
  /** The bench that keeps the record's head, if it is one of its own. */
  series?: BenchSeries;
}

/** What a closed job is added to with. */
export type Added = Pick<EntryOf<'addendum'>, 'what' | 'why' | 'technician' | 'emulated'>;

const namesTried = 5;

/**
 * The one writer of a job's record. An entry counts as captured when `append` has resolved, and not
 * before: then it is on the disk, whole, at its place in the chain.
 *
 * After a write or a sync that failed, the object takes no more entries and repairs nothing;
 * `resume` does, from the file alone.
 */
export class JobRecord {
  readonly path: string;
  readonly #writer: ChainWriter;
  readonly #lock: RecordLock;
  readonly #series: BenchSeries | undefined;
  #state: JobState;
  #ended = false;
  #queue: Promise<unknown> = Promise.resolve();

  private constructor(
    path: string,
    writer: ChainWriter,
    lock: RecordLock,
    state: JobState,
    series: BenchSeries | undefined,
  ) {
    this.#series = series;
    this.path = path;
    this.#writer = writer;
    this.#lock = lock;
    this.#state = state;
  }

  /** Returns what the entries so far come to. */
  get state(): JobState {
    return this.#state;
  }

  /**
   * Creates the record of a new job, its first entry synced to disk, and returns it. Without
   * `opening.job` an id is drawn.
   *
   * @throws OhmwrightError `record.exists`, `record.locked`, `record.entry`, `record.not-captured`,
   *   `record.disk`
   */
  static async create(dir: string, opening: Opening, options: CreateOptions = {}): Promise<JobRecord> {
    const { disk, clock, random, self } = withDefaults(options);
    const bench = await options.series?.take();
    const placed = bench === undefined ? {} : { bench };
    for (let tried = 1; ; tried += 1) {
      const job = opening.job ?? jobName(clock(), random(6));
      const path = options.file ?? join(dir, `${job}${recordEnding}`);
      await orDiskError('make the folder for', path, disk.makeDir(dirname(path)));
      const lock = await takeLock(disk, path, clock(), self);
      let writer: ChainWriter | null = null;
      try {
        writer = new ChainWriter(path, disk, await openNew(disk, path), clock, chainStart);
        const record = new JobRecord(path, writer, lock, emptyJob(), options.series);
        await record.append({ ...opening, ...placed, job, kind: 'opened', format: recordFormat, rules: currentRules });
        await record.#keepBegun(writer.head);
        await record.#keepHead();
        await record.#appendCustomer(options.customer ?? {}, random);
        await orDiskError('sync the folder of', path, syncDir(disk, dirname(path)));
        return record;
      } catch (error) {
        // nothing in a file that was just made was ever said to be captured
        if (writer !== null) await Promise.allSettled([writer.close(), disk.remove(path)]);
        // what went wrong first is what the person has to know
        await Promise.allSettled([lock.release()]);
        const drawn = opening.job === undefined && options.file === undefined;
        const isTaken = error instanceof OhmwrightError && error.code === 'record.exists';
        if (drawn && tried < namesTried && isTaken) continue;
        throw error;
      }
    }
  }

  /**
   * Opens a record to go on with its job and returns it, after a `resumed` entry. A torn end is set
   * aside to a file and told of in a `recovered` entry; a stale lock that was taken over is told of
   * in a note.
   *
   * @throws OhmwrightError `record.missing`, `record.linked`, `record.locked`, `record.empty`,
   *   `record.damaged` (with the line), `record.newer`, `record.closed`, `record.not-captured`,
   *   `record.disk`
   */
  static async resume(named: string, options: ReopenOptions = {}): Promise<JobRecord> {
    return JobRecord.#reopen(named, options, (path, state) => {
      if (state.closed !== null) throw closedError(`the job in ${path} is closed`);
      const tool = options.tool ?? state.opened?.tool ?? 'unknown';
      return { kind: 'resumed', tool, rules: currentRules };
    });
  }

  /**
   * Opens the record of a closed job to add to it and returns it, after an `addendum` entry.
   * `closeJob` closes and signs it once more. The rest as in `resume`.
   *
   * @throws OhmwrightError as `resume`, and `record.open` when the job is not closed
   */
  static async addTo(named: string, added: Added, options: ReopenOptions = {}): Promise<JobRecord> {
    return JobRecord.#reopen(named, options, async (path, state) => {
      if (state.closed === null) {
        const help = `Go on with it: ohmwright resume ${path}`;
        throw recordError('record.open', `the job in ${path} is not closed, so there is nothing to add to`, help);
      }
      const bench = await options.series?.take();
      const placed = bench === undefined ? {} : { bench };
      const tool = options.tool ?? state.opened?.tool ?? 'unknown';
      return { ...added, ...placed, kind: 'addendum', format: recordFormat, rules: currentRules, tool };
    });
  }

  /**
   * Signs the record of a job that was closed and, by a crash, not signed; returns it. What was torn
   * at its end is set aside.
   *
   * @throws OhmwrightError as `resume`, and `record.closed` when the job is open or signed already
   */
  static async finish(named: string, key: BenchKey, options: ReopenOptions = {}): Promise<JobRecord> {
    const record = await JobRecord.#reopen(named, options, (path, state) => {
      if (state.closed === null || state.signed !== null) throw closedError(`the job in ${path} is not to be signed`);
      return null;
    });
    try {
      await record.#inTurn(() => record.#sign(key));
      return record;
    } catch (error) {
      await record.close();
      throw error;
    }
  }

  static async #reopen(
    named: string,
    options: ReopenOptions,
    beginning: (path: string, state: JobState) => NewEntry | null | Promise<NewEntry>,
  ): Promise<JobRecord> {
    const { disk, clock, self } = withDefaults(options);
    // the lock is of the file, not of a name of it; and beside a record that does not exist it
    // would be litter
    const path = await orDiskError('read', named, disk.realPath(named));
    refuseSecondName(path, await orDiskError('read', path, disk.look(path)));
    const lock = await takeLock(disk, path, clock(), self);
    let writer: ChainWriter | null = null;
    try {
      const parsed = parseRecord(await orDiskError('read', path, disk.read(path)));
      const { state, end } = resumable(path, parsed);
      const first = await beginning(path, state);
      const { entries, cutAt } = await recover(disk, path, parsed, state);
      const file = await orDiskError('write to', path, openToAppend(disk, path, cutAt));
      writer = new ChainWriter(path, disk, file, clock, end);
      const record = new JobRecord(path, writer, lock, state, options.series);
      const told = lock.tookOver === null ? entries : [...entries, takeOverNote(lock.tookOver)];
      // nothing may stand behind a closing but the addendum itself
      const all = first === null ? [] : first.kind === 'addendum' ? [first, ...told] : [...told, first];
      for (const entry of all) await record.#write(entry);
      if (first?.kind === 'addendum') {
        await record.#keepBegun(parsed.lines[0]!.sha256);
        await record.#keepHead();
      }
      return record;
    } catch (error) {
      await Promise.allSettled([writer?.close(), lock.release()]);
      throw error;
    }
  }

  /**
   * Adds an entry: one write of its whole line, then a sync of the file's data; resolves with the
   * entry as it stands in the file. Entries are added in the order of the calls.
   *
   * @throws OhmwrightError `record.not-captured` when write or sync failed (the record takes no
   *   more), `record.broken` on each call after that, `record.changed` when someone else wrote to
   *   the file, or deleted, replaced or linked it, `record.entry` when the entry is not valid,
   *   `record.closed` when the job or this record is closed
   */
  append(entry: NewEntry): Promise<Entry> {
    return this.#inTurn(() => this.#appendNow(entry));
  }

  /**
   * Adds the closing entry, made of what the entries before it bear out at the moment of writing
   * (entries still on their way count), and returns it. `why`: in words. With a key, the bench's
   * signature over the chain's head follows it. Resolves only when the file has been read again and
   * holds exactly what was written.
   *
   * @throws OhmwrightError as `append`
   */
  closeJob(why: string, how: { abandoned?: boolean; key?: BenchKey } = {}): Promise<Entry> {
    return this.#inTurn(async () => {
      const closed = await this.#appendNow(closingEntry(this.#state, why, how));
      if (how.key === undefined) await this.#end();
      else await this.#sign(how.key);
      return closed;
    });
  }

  async #sign(key: BenchKey): Promise<Entry> {
    const signed = await this.#write((place) => signedEntry({ ...this.#signs(), place }, key));
    await this.#end();
    return signed;
  }

  /** Nothing is called done before the file itself says so. */
  async #end(): Promise<void> {
    await this.#writer.check();
    await this.#keepHead();
  }

  /**
   * Waits for entries on their way, then closes the file and gives the lock back. A second call
   * does nothing.
   */
  async close(): Promise<void> {
    await this.#queue;
    if (this.#ended) return;
    this.#ended = true;
    await this.#writer.close();
    await this.#lock.release();
  }

  #inTurn(work: () => Promise<Entry>): Promise<Entry> {
    const done = this.#queue.then(work);
    this.#queue = done.then(
      () => undefined,
      () => undefined,
    );
    return done;
  }

  async #appendNow(entry: NewEntry): Promise<Entry> {
    if (this.#ended) throw this.#writer.tooLate(entry, `the record ${this.path} is not open any more`);
    if (this.#state.closed !== null) throw this.#writer.tooLate(entry, `the job in ${this.path} is closed`);
    return this.#write(entry);
  }

  async #appendCustomer(customer: Customer, random: (bytes: number) => Uint8Array): Promise<void> {
    const { apart, commitments } = commitTo(customer, random);
    if (Object.keys(commitments).length > 0) await this.#write({ kind: 'customer', commitments }, apart);
  }

  /** What comes after this record in the bench's series names its head. */
  async #keepHead(): Promise<void> {
    const place = placeOf(this.#state);
    if (place !== undefined) await this.#series?.keepHead(place, this.#writer.head);
  }

  /** `identity`: hash of the record's first line. */
  async #keepBegun(identity: string): Promise<void> {
    const place = placeOf(this.#state);
    const record = { job: this.#state.job ?? '', path: resolve(this.path), identity };
    if (place !== undefined) await this.#series?.keepBegun(place, record);
  }

  #signs(): { job: string; format: number } {
    const { job, opened, addenda } = this.#state;
    return { job: job ?? '', format: (addenda.at(-1) ?? opened)?.format ?? recordFormat };
  }

  async #write(entry: NewEntry | ((place: ChainPlace) => NewEntry), apart: PersonalData = {}): Promise<Entry> {
    let next = this.#state;
    const fold = (written: Entry): void => {
      next = foldEntry(this.#state, written);
    };
    const stored = await this.#writer.write(entry, fold, apart);
    this.#state = next;
    return stored;
  }
}

/** The record's latest place among those of its bench: each addendum has one of its own. */
function placeOf({ opened, addenda }: JobState): BenchPlace | undefined {
  return (addenda.at(-1) ?? opened)?.bench;
}

function takeOverNote(holder: LockHolder): NewEntry {
  return {
    kind: 'note',
    text: `Took over the lock of process ${holder.pid} on ${holder.host}, which began ${holder.startedAt} and is gone.`,
  };
}
