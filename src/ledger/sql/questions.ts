import type { FaultMode } from '../../guide/types.ts';
import type { SqlStatement } from './rows-in.ts';

/** What a list of jobs shows of each. */
const listed = `r.record_id, r.job, r.opened_at, r.last_at, r.result, r.closed, r.counted, r.verdict, r.code, r.emulated, r.technician, r.bench,
  r.maker, r.model, r.revision, r.serial, r.ticket, r.symptom, r.guide_id, r.guide_title, r.conclusion, r.minutes, r.entries, r.returns`;

export interface ListedJob {
  record_id: string;
  job: string;
  opened_at: string;
  last_at: string;
  result: string;
  closed: boolean;
  counted: boolean;
  verdict: string;
  code: string | null;
  emulated: boolean;
  technician: string;
  bench: string | null;
  maker: string;
  model: string;
  revision: string;
  serial: string;
  ticket: string;
  symptom: string;
  guide_id: string;
  guide_title: string;
  conclusion: string | null;
  minutes: number;
  entries: number;
  returns: number;
}

export interface UnitEvent {
  record_id: string;
  act: string;
  unit: string;
  helped: boolean;
}

/** Every job of a unit, latest first. A record that does not verify is in the list, and says so. */
export function unitJobs(serialKey: string, emulated: boolean): SqlStatement {
  const text = `select ${listed} from record r where r.serial_key = $1 and (not r.emulated or $2) order by r.opened_at desc, r.id limit 100`;
  return { text, values: [serialKey, emulated] };
}

/** What was found and done in the jobs of a unit. */
export function unitEvents(serialKey: string, emulated: boolean): SqlStatement {
  const text = `select r.record_id, u.act, u.unit, u.helped from record r join unit_act u on u.id = r.id
    where r.serial_key = $1 and r.counted and (not r.emulated or $2) order by r.opened_at desc, u.n, u.unit limit 500`;
  return { text, values: [serialKey, emulated] };
}

export interface Totals {
  records: number;
  counted: number;
  emulated: number;
  open: number;
  /** Opened more than a day after they arrived: by a clock that was wrong. */
  ahead: number;
  quarantined: number;
}

export function totals(): SqlStatement {
  const text = `select count(*)::int as records, coalesce(sum(case when counted then 1 else 0 end), 0)::int as counted,
    coalesce(sum(case when emulated then 1 else 0 end), 0)::int as emulated, coalesce(sum(case when closed then 0 else 1 end), 0)::int as open,
    coalesce(sum(case when opened_at > received_at + interval '1 day' then 1 else 0 end), 0)::int as ahead,
    (select count(*) from quarantine)::int as quarantined from record`;
  return { text, values: [] };
}

/** What the ledger holds of some records, by their keys in JSON; see `rowKey`. */
export function standings(keys: readonly string[]): SqlStatement {
  const text = `select r.record_id, r.head, r.entries, r.counted from json_array_elements_text($1::json) k join record r on r.id = k::uuid`;
  return { text, values: [JSON.stringify(keys)] };
}

export interface HeldRecord {
  record_id: string;
  head: string;
  entries: number;
  counted: boolean;
}

export interface FaultCase {
  record_id: string;
  entries: number;
  job: string;
  link: string;
  mode: FaultMode;
  share: number;
}

/** The same record by record. */
export function faultCases(guide: string, emulated: boolean): SqlStatement {
  const text = `select r.record_id, r.entries, r.job, f.link, f.mode, f.share from record r join fault f on f.id = r.id
    where r.guide_id = $1 and r.counted and (not r.emulated or $2) order by r.opened_at, r.id, f.link, f.mode`;
  return { text, values: [guide, emulated] };
}
