import { join } from 'node:path';
import { errnoOf } from '../errors/errno.ts';
import { OhmwrightError } from '../errors/ohmwright-error.ts';
import type { RecordRows } from '../ledger/rows/ledger-rows.ts';
import { rowKey } from '../ledger/rows/record-id.ts';
import { recordRows } from '../ledger/rows/record-rows.ts';
import { tableNames } from '../ledger/sql/migrations.ts';
import { type HeldRecord, standings } from '../ledger/sql/questions.ts';
import type { SqlStatement } from '../ledger/sql/rows-in.ts';
import { type ParsedRecord, parseRecord } from '../record/chain/parse-record.ts';
import { withoutCustomer } from '../record/chain/without-customer.ts';
import { type Disk, realDisk } from '../record/store/disk.ts';
import { type RecordLock, takeLock } from '../record/store/lock.ts';
import { type LockSelf, lockSelf } from '../record/store/lock-holder.ts';
import { type Arrival, arrivalSchema } from './arrivals.ts';
import { type LedgerDatabase, migrate, migrationTable } from './database.ts';
import { openEmbedded } from './embedded-database.ts';
import { type DatabaseState, isDatabaseSound, readState, syncTree, writeState } from './embedded-state.ts';
import { ledgerError } from './ledger-error.ts';
import { LineFile } from './line-file.ts';
import { putRows } from './put-record.ts';
import { ledgerDiskError, RecordArchive } from './record-archive.ts';
import { openServer } from './server-database.ts';

/** What taking a record came to. */
export interface TakenRecord {
  /**
   * `new`, `grown`: it is in the ledger now. `known`: it was, this far or further. `aside`: it lies in
   * quarantine, for the reason in `code`. `none`: nothing names it.
   */
  put: 'new' | 'grown' | 'known' | 'aside' | 'none';
  record: string | null;
  entries: number;
  /** It verifies in full, so it counts. */
  counted: boolean;
  /** The first thing that does not hold of it. */
  code: string | null;
}

export interface LedgerOptions {
  /** Addresses of a server; left out: the embedded database in the folder. */
  database?: string;
  disk?: Disk;
  /** Milliseconds since 1970. */
  clock?: () => number;
  self?: LockSelf;
  /** Names the boot of the host; null where it does not say. */
  boot?: string | null;
  /** An empty embedded database, see `openEmbedded`. */
  template?: Blob;
  /** Told when the database is made anew from the records. */
  onRebuild?: (why: 'first' | 'unclean' | 'unreadable' | 'asked') => void;
}

type Needed = Required<Omit<LedgerOptions, 'database' | 'template'>> & Pick<LedgerOptions, 'database' | 'template'>;

const newline = 0x0a;

/** A ledger that is open: nobody else has it open. */
export class Ledger {
  readonly folder: string;
  readonly records: RecordArchive;
  readonly quarantine: RecordArchive;
  readonly arrivals: LineFile<Arrival>;
  readonly #options: Needed;
  readonly #lock: RecordLock;
  #database: LedgerDatabase | null = null;
  /** One record at a time. */
  #queue: Promise<unknown> = Promise.resolve();

  private constructor(folder: string, options: Needed, lock: RecordLock) {
    this.folder = folder;
    this.#options = options;
    this.#lock = lock;
    this.records = new RecordArchive(options.disk, join(folder, 'records'));
    this.quarantine = new RecordArchive(options.disk, join(folder, 'quarantine'));
    this.arrivals = new LineFile(options.disk, join(folder, 'arrivals.jsonl'), arrivalSchema);
  }

  /**
   * Opens a ledger, which is made when it is not there. A database that may have lost something is
   * set aside and made anew from the records.
   *
   * @throws OhmwrightError `ledger.locked`, `ledger.database`, `ledger.disk`, `ledger.newer`
   */
  static async open(folder: string, options: LedgerOptions = {}): Promise<Ledger> {
    const needed = withDefaults(options);
    const ledger = new Ledger(folder, needed, await lockedFolder(folder, needed));
    try {
      await ledger.#openDatabase();
      return ledger;
    } catch (error) {
      await ledger.close();
      throw error;
    }
  }

  query<Row>(statement: SqlStatement): Promise<Row[]> {
    return this.#asked.query<Row>(statement);
  }

  /** Returns how far the ledger has some records, by identity; those that it hasn't are left out. */
  async standings(records: readonly string[]): Promise<Map<string, HeldRecord>> {
    const keys = [...new Set(records.map(rowKey))];
    const found = keys.length === 0 ? [] : await this.query<HeldRecord>(standings(keys));
    return new Map(found.map((one) => [one.record_id, one]));
  }

  /**
   * Takes a record: verified in full, stored without its customer's words, put into the tables. Told
   * as taken only when it is on disk and in the database. `from`: the bench that sent it.
   *
   * @throws OhmwrightError `ledger.disk`, `ledger.database`
   */
  take(bytes: Uint8Array, from: string | null = null): Promise<TakenRecord> {
    const taken = this.#queue.then(() => this.#take(bytes, from));
    this.#queue = taken.catch(() => undefined);
    return taken;
  }

  /**
   * Makes the database anew from the records in the folder. `onRecord` is told after each.
   *
   * @throws OhmwrightError `ledger.disk`, `ledger.database`
   */
  async rebuild(onRecord: (done: number, of: number) => void = () => undefined): Promise<void> {
    await this.#anew('asked', onRecord);
  }

  /** Closes the database, syncs what it wrote, and gives the folder free. */
  async close(): Promise<void> {
    await this.#queue;
    const database = this.#database;
    this.#database = null;
    if (database !== null) {
      await database.close();
      const state = await readState(this.#options.disk, this.folder);
      if (this.#engine === 'embedded') await syncTree(this.#options.disk, this.#databaseFolder);
      if (state !== null) writeState(this.folder, { ...state, closed: true });
    }
    await this.#lock.release();
  }

  get #asked(): LedgerDatabase {
    if (this.#database === null) throw new Error('the ledger is not open');
    return this.#database;
  }

  get #engine(): DatabaseState['engine'] {
    return this.#options.database === undefined ? 'embedded' : 'server';
  }

  get #databaseFolder(): string {
    return join(this.folder, 'database');
  }

  async #openDatabase(): Promise<void> {
    const { disk, boot } = this.#options;
    const state = await readState(disk, this.folder);
    const isThere = this.#engine === 'server' || (await disk.look(this.#databaseFolder)) !== null;
    if (state === null && !(isThere && this.#engine === 'embedded')) return this.#anew('first');
    if (!isThere || !isDatabaseSound(state, boot, this.#engine)) return this.#anew('unclean');
    writeState(this.folder, { boot, closed: false, whole: true, engine: this.#engine });
    try {
      this.#database = await this.#connected(false);
      await migrate(this.#database);
    } catch (error) {
      // a server is not ours to throw away
      if (this.#engine === 'server' || error instanceof OhmwrightError) throw error;
      await this.#database?.close().catch(() => undefined);
      this.#database = null;
      await this.#anew('unreadable');
    }
  }

  /** `isNew`: there is no database yet. */
  #connected(isNew: boolean): Promise<LedgerDatabase> {
    const { database, template } = this.#options;
    if (database !== undefined) return openServer(database);
    return openEmbedded(this.#databaseFolder, isNew ? template : undefined);
  }

  async #anew(
    why: Parameters<Needed['onRebuild']>[0],
    onRecord: (done: number, of: number) => void = () => undefined,
  ): Promise<void> {
    const { disk, boot, onRebuild } = this.#options;
    const state: DatabaseState = { boot, closed: false, whole: false, engine: this.#engine };
    onRebuild(why);
    writeState(this.folder, state);
    await this.#database?.close();
    this.#database = null;
    if (this.#engine === 'embedded') await setAside(disk, this.#databaseFolder);
    this.#database = await this.#connected(true);
    if (this.#engine === 'server') await dropTables(this.#database);
    await migrate(this.#database);
    const firstSeen = new Map<string, string>();
    for (const arrival of await this.arrivals.lines()) {
      if (arrival.code === undefined && !firstSeen.has(arrival.record)) firstSeen.set(arrival.record, arrival.at);
      if (arrival.code !== undefined) await this.#noteAside(arrival);
    }
    const names = await this.records.names();
    for (const [i, name] of names.entries()) {
      const bytes = await this.records.read(name);
      const rows = bytes === null ? null : recordRows(bytes);
      if (bytes !== null && rows !== null) {
        const heads = parseRecord(bytes).lines.map(({ sha256 }) => sha256);
        await putRows(this.#database, rows, heads, firstSeen.get(name) ?? this.#now());
      }
      onRecord(i + 1, names.length);
    }
    writeState(this.folder, { ...state, whole: true });
  }

  async #take(given: Uint8Array, from: string | null): Promise<TakenRecord> {
    const { bytes, parsed } = wholeLines(withoutCustomer(given));
    const [first] = parsed.lines;
    const record = first?.sha256 ?? null;
    const entries = parsed.lines.length;
    if (record === null || first?.entry.kind !== 'opened')
      return { put: 'none', record, entries, counted: false, code: parsed.damage[0]?.code ?? 'record.empty' };
    const heads = parsed.lines.map(({ sha256 }) => sha256);
    const aside = (code: string): Promise<TakenRecord> =>
      this.#aside(bytes, { record, entries, head: heads.at(-1)!, from, code });
    const [damage] = parsed.damage;
    if (damage !== undefined) return aside(damage.code);
    const there = (await this.standings([record])).get(record);
    if (there !== undefined && there.head === heads.at(-1))
      return { put: 'known', record, entries, counted: there.counted, code: null };
    const stored = await this.records.read(record);
    const kept = stored === null ? [] : parseRecord(stored).lines.map(({ sha256 }) => sha256);
    if (!isBeginning(kept, heads) && !isBeginning(heads, kept)) return aside('ledger.fork');
    const isLonger = heads.length > kept.length;
    // a crash may have left the file further on than the database
    const [all, allHeads] = isLonger ? [bytes, heads] : [stored!, kept];
    const rows = recordRows(all);
    if (rows === null) return aside('record.empty');
    const at = this.#now();
    if (isLonger) {
      await this.records.write(record, all);
      await this.arrivals.add({ at, record, entries, head: heads.at(-1)!, from });
    }
    return this.#put(rows, allHeads, at, entries);
  }

  async #put(rows: RecordRows, heads: readonly string[], at: string, entries: number): Promise<TakenRecord> {
    const { record_id: record, counted, code } = rows.record;
    const put = await putRows(this.#asked, rows, heads, at);
    return {
      put: put === 'fork' ? 'aside' : put,
      record,
      entries,
      counted,
      code: put === 'fork' ? 'ledger.fork' : code,
    };
  }

  async #aside(bytes: Uint8Array, arrival: Omit<Arrival, 'at' | 'code'> & { code: string }): Promise<TakenRecord> {
    const { record, entries, head, code } = arrival;
    const known = await this.query({
      text: 'select 1 from quarantine where id = $1 and head = $2',
      values: [rowKey(record), head],
    });
    if (known.length === 0) {
      const line: Arrival = { ...arrival, at: this.#now() };
      await this.quarantine.write(`${record}-${head.slice(0, 16)}`, bytes);
      await this.arrivals.add(line);
      await this.#noteAside(line);
    }
    return { put: 'aside', record, entries, counted: false, code };
  }

  async #noteAside({ record, head, code, from, at }: Arrival): Promise<void> {
    const text =
      'insert into quarantine (id, head, code, bench, received_at) values ($1::uuid, $2, $3, $4, $5::timestamptz) on conflict (id, head) do nothing';
    await this.query({ text, values: [rowKey(record), head, code, from, at] });
  }

  #now(): string {
    return new Date(this.#options.clock()).toISOString();
  }
}

/** Returns the lines of a record that are whole, as they stand in a file: a job may be under way. */
function wholeLines(given: Uint8Array): { bytes: Uint8Array; parsed: ParsedRecord } {
  const parsed = parseRecord(given);
  const bytes = parsed.torn === null ? given : given.subarray(0, parsed.wholeBytes);
  return {
    bytes: bytes.at(-1) === newline || bytes.length === 0 ? bytes : Buffer.concat([bytes, Buffer.from('\n')]),
    parsed,
  };
}

function isBeginning(beginning: readonly string[], whole: readonly string[]): boolean {
  // each hash covers all before it
  return (
    beginning.length <= whole.length && (beginning.length === 0 || beginning.at(-1) === whole[beginning.length - 1])
  );
}

async function dropTables(database: LedgerDatabase): Promise<void> {
  for (const name of [...tableNames, migrationTable]) await database.run(`drop table if exists ${name}`);
}

/** Moves a database out of the way; what was moved before stays. */
async function setAside(disk: Disk, folder: string): Promise<void> {
  for (let n = 1; ; n += 1) {
    const aside = `${folder}.aside-${n}`;
    if ((await disk.look(aside)) !== null) continue;
    try {
      await disk.rename(folder, aside);
    } catch (error) {
      if (errnoOf(error) !== 'ENOENT') throw ledgerDiskError('set aside', folder, error);
    }
    return;
  }
}

async function lockedFolder(folder: string, { disk, clock, self }: Needed): Promise<RecordLock> {
  try {
    await disk.makeDir(folder);
    return await takeLock(disk, join(folder, 'ledger'), clock(), self);
  } catch (error) {
    if (!(error instanceof OhmwrightError)) throw ledgerDiskError('make', folder, error);
    if (error.code !== 'record.locked') throw error;
    const help = `Ask the one that is running, or end it. If nothing is running any more, remove ${join(folder, 'ledger.lock')}.`;
    throw ledgerError('ledger.locked', `the ledger ${folder} is open elsewhere`, help, error);
  }
}

function withDefaults(options: LedgerOptions): Needed {
  const self = options.self ?? lockSelf();
  return {
    disk: realDisk,
    clock: Date.now,
    boot: self.process?.split(':')[0] ?? null,
    onRebuild: () => undefined,
    ...options,
    self,
  };
}
