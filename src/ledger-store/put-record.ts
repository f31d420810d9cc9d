import type { RecordRows } from '../ledger/rows/ledger-rows.ts';
import { sumRecord } from '../ledger/sql/month-sums.ts';
import { changeRecord, dropChildren, putChildren, putRecord, standingOf } from '../ledger/sql/rows-in.ts';
import type { LedgerDatabase, Queries } from './database.ts';

/** What putting a record came to. `known`: all of it was there; `fork`: another one is there by its first line. */
export type Put = 'new' | 'grown' | 'known' | 'fork';

interface HeldRow {
  record_id: string;
  head: string;
  entries: number;
}

/**
 * Puts the rows of a record into the tables, in one transaction. To put it again changes nothing; a
 * record that has grown takes the place of what it was, and its sums follow. `heads`: the hash of
 * each of its lines.
 */
export async function putRows(
  database: LedgerDatabase,
  rows: RecordRows,
  heads: readonly string[],
  receivedAt: string,
): Promise<Put> {
  for (;;) {
    const put = await database.transaction(async (asked): Promise<Put | null> => {
      const [there] = await asked.query<HeldRow>(standingOf(rows.record.id));
      if (there !== undefined) return growRows(asked, rows, heads, there);
      const made = await asked.query(putRecord(rows, receivedAt));
      // somebody was faster: look again
      if (made.length === 0) return null;
      await putRest(asked, rows);
      return 'new';
    });
    if (put !== null) return put;
  }
}

async function growRows(asked: Queries, rows: RecordRows, heads: readonly string[], there: HeldRow): Promise<Put> {
  const { record } = rows;
  if (there.record_id !== record.record_id) return 'fork';
  if (there.head === record.head) return 'known';
  // what stands there is longer, or goes another way
  if (heads[there.entries - 1] !== there.head) return heads.length <= there.entries ? 'known' : 'fork';
  for (const statement of sumRecord(record.id, -1)) await asked.query(statement);
  for (const statement of dropChildren(record.id)) await asked.query(statement);
  await asked.query(changeRecord(rows));
  await putRest(asked, rows);
  return 'grown';
}

async function putRest(asked: Queries, rows: RecordRows): Promise<void> {
  for (const statement of putChildren(rows)) await asked.query(statement);
  for (const statement of sumRecord(rows.record.id, 1)) await asked.query(statement);
}
