import { recordRows } from '../ledger/rows/record-rows.ts';
import { sumsThatDiffer } from '../ledger/sql/month-sums.ts';
import type { Ledger } from './ledger.ts';

/** Something of a ledger that does not hold. `code` is stable. */
export interface LedgerFinding {
  code:
    | 'ledger.record-gone'
    | 'ledger.not-in-database'
    | 'ledger.only-in-database'
    | 'ledger.head'
    | 'ledger.verdict'
    | 'ledger.sums';
  /** Identity of the record, or name of the table. */
  of: string;
}

interface Row {
  record_id: string;
  head: string;
  verdict: string;
  counted: boolean;
}

/**
 * Holds a ledger against itself: every state that arrived is still there, each record verifies as the
 * tables say, and the sums are what the records come to. Changes nothing. `onRecord` is told after each.
 *
 * @throws OhmwrightError `ledger.disk`, `ledger.database`
 */
export async function checkLedger(
  ledger: Ledger,
  onRecord: (done: number, of: number) => void = () => undefined,
): Promise<LedgerFinding[]> {
  const found: LedgerFinding[] = [];
  const rows = await ledger.query<Row>({ text: 'select record_id, head, verdict, counted from record', values: [] });
  const inTables = new Map(rows.map((row) => [row.record_id, row]));
  const names = await ledger.records.names();
  for (const [i, name] of names.entries()) {
    const bytes = await ledger.records.read(name);
    const due = bytes === null ? null : (recordRows(bytes)?.record ?? null);
    const row = inTables.get(name);
    if (row === undefined) found.push({ code: 'ledger.not-in-database', of: name });
    else if (row.head !== due?.head || name !== due.record_id) found.push({ code: 'ledger.head', of: name });
    else if (row.verdict !== due.verdict || row.counted !== due.counted)
      found.push({ code: 'ledger.verdict', of: name });
    onRecord(i + 1, names.length);
  }
  const there = new Set(names);
  for (const { record_id } of rows)
    if (!there.has(record_id)) found.push({ code: 'ledger.only-in-database', of: record_id });
  const arrived = new Set(
    (await ledger.arrivals.lines()).flatMap(({ record, code }) => (code === undefined ? [record] : [])),
  );
  for (const record of arrived) if (!there.has(record)) found.push({ code: 'ledger.record-gone', of: record });
  for (const statement of sumsThatDiffer()) {
    const [sums] = await ledger.query<{ table_name: string; differing: number }>(statement);
    if (sums !== undefined && sums.differing > 0) found.push({ code: 'ledger.sums', of: sums.table_name });
  }
  return found;
}
