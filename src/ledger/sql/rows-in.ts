import type { RecordRows } from '../rows/ledger-rows.ts';

/** A statement of SQL and its parameters. */
export interface SqlStatement {
  text: string;
  values: readonly unknown[];
}

/** Columns of a table that belongs to a record, with their types: how rows in JSON are read. */
const childColumns = {
  attempt: 'n int, check_id text, kind text, phase text, outcome text, value float8, u float8, took_ms float8',
  proof:
    'n int, probe text, calibration text, at timestamptz, stage text, what text, outcome text, ohm float8, u_repeat float8',
  fault: 'link text, mode text, share float8',
  repair: 'n int, what text, name text, title text, price float8, currency text, helped boolean',
  unit_act: 'n int, unit text, act text, helped boolean',
} as const;
type ChildTable = keyof typeof childColumns;
const childTables = Object.keys(childColumns) as ChildTable[];

const recordColumns =
  'id uuid, record_id text, head text, entries int, bytes int, bench text, verdict text, code text, level text, counted boolean, ' +
  'emulated boolean, opened_month date, opened_at timestamptz, last_at timestamptz, closed boolean, result text, conclusion text, ' +
  'proofs text, guide_id text, guide_sha256 text, guide_title text, maker text, model text, revision text, serial text, ' +
  'serial_key text, ticket text, symptom text, technician text, job text, tool text, minutes float8, repairs int, returns int';

const namesIn = (columns: string): string[] => columns.split(', ').map((column) => column.split(' ')[0]!);
const recordNames = namesIn(recordColumns);

/** How a record stands; its row is held until the transaction ends, so that two never grow it at once. */
export function standingOf(id: string): SqlStatement {
  return { text: 'select record_id, head, entries, received_at from record where id = $1 for update', values: [id] };
}

/** Puts the row of a new record in, unless somebody was faster: then it returns no row. */
export function putRecord({ record }: RecordRows, receivedAt: string): SqlStatement {
  const names = recordNames.join(', ');
  const text = `insert into record (${names}, received_at) select ${names}, $2::timestamptz
    from json_to_recordset($1::json) as r(${recordColumns}) on conflict (id) do nothing returning id`;
  return { text, values: [JSON.stringify([record]), receivedAt] };
}

/** Changes the row of a record that has grown, or that is verified anew. */
export function changeRecord({ record }: RecordRows): SqlStatement {
  const changed = recordNames.filter((name) => name !== 'id').map((name) => `${name} = r.${name}`);
  const text = `update record set ${changed.join(', ')} from json_to_recordset($1::json) as r(${recordColumns}) where record.id = r.id`;
  return { text, values: [JSON.stringify([record])] };
}

/** Takes away what belongs to a record. */
export function dropChildren(id: string): SqlStatement[] {
  return childTables.map((table) => ({ text: `delete from ${table} where id = $1`, values: [id] }));
}

/** Puts in what belongs to a record; a table that it has no rows for is left out. */
export function putChildren({ record, attempts, proofs, faults, repairs, units }: RecordRows): SqlStatement[] {
  const rows: Record<ChildTable, readonly unknown[]> = {
    attempt: attempts,
    proof: proofs,
    fault: faults,
    repair: repairs,
    unit_act: units,
  };
  return childTables
    .filter((table) => rows[table].length > 0)
    .map((table) => {
      const columns = childColumns[table];
      const names = namesIn(columns).join(', ');
      const text = `insert into ${table} (id, ${names}) select $1::uuid, ${names} from json_to_recordset($2::json) as r(${columns})`;
      return { text, values: [record.id, JSON.stringify(rows[table])] };
    });
}
