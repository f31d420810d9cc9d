import { migrations } from '../ledger/sql/migrations.ts';
import type { SqlStatement } from '../ledger/sql/rows-in.ts';
import { sha256 } from '../record/chain/sha256.ts';
import { ledgerError } from './ledger-error.ts';

/** Asks a database; a row is an object by column, a time in it ISO 8601. */
export interface Queries {
  query<Row>(statement: SqlStatement): Promise<Row[]>;
}

/** What a ledger needs of a database. */
export interface LedgerDatabase extends Queries {
  /** Has all of `work` happen or nothing of it; tries again where another transaction was in the way. */
  transaction<T>(work: (asked: Queries) => Promise<T>): Promise<T>;
  /** Runs several statements without parameters. */
  run(text: string): Promise<void>;
  close(): Promise<void>;
}

/** The table that knows which steps were taken. */
export const migrationTable = 'migration';

/**
 * Brings the tables up to date.
 *
 * @throws OhmwrightError `ledger.newer` when the database has steps that this version does not know
 */
export async function migrate(database: LedgerDatabase): Promise<void> {
  await database.run(`create table if not exists ${migrationTable} (n int primary key, sha256 text not null)`);
  const done = await database.query<{ n: number; sha256: string }>({
    text: `select n, sha256 from ${migrationTable} order by n`,
    values: [],
  });
  const isKnown = done.every(
    ({ n, sha256: digest }) => n <= migrations.length && sha256(migrations[n - 1]!) === digest,
  );
  if (!isKnown) {
    const help = 'Use the version that made them, or make them anew with `ohmwright ledger rebuild`.';
    throw ledgerError('ledger.newer', 'the tables of the ledger are of another version', help);
  }
  for (let n = done.length + 1; n <= migrations.length; n += 1) {
    const text = migrations[n - 1]!;
    await database.run(`begin; ${text}; insert into ${migrationTable} values (${n}, '${sha256(text)}'); commit`);
  }
}

/** Returns a row with its times as text. */
export function withTimesAsText<Row>(row: unknown): Row {
  const entries = Object.entries(row as Record<string, unknown>);
  return Object.fromEntries(
    entries.map(([name, value]) => [name, value instanceof Date ? value.toISOString() : value]),
  ) as Row;
}
