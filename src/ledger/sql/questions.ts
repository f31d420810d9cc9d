import type { Statement } from './rows-in.ts';

/** What numbers are about: months from this one on (`2031-05`), and whether jobs on the emulated probe count. */
export interface Scope {
  since: string;
  emulated: boolean;
}

const monthOf = ({ since }: Scope): string => `${since}-01`;
const device = "r.maker || ' \u00b7 ' || r.model || ' \u00b7 ' || r.revision";
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
export function historyOf(serialKey: string, emulated: boolean): Statement {
  const text = `select ${listed} from record r where r.serial_key = $1 and (not r.emulated or $2) order by r.opened_at desc, r.id limit 100`;
  return { text, values: [serialKey, emulated] };
}

/** What was found and done in the jobs of a unit. */
export function unitEvents(serialKey: string, emulated: boolean): Statement {
  const text = `select r.record_id, u.act, u.unit, u.helped from record r join unit_act u on u.id = r.id
    where r.serial_key = $1 and r.counted and (not r.emulated or $2) order by r.opened_at desc, u.n, u.unit limit 500`;
  return { text, values: [serialKey, emulated] };
}

export interface FailingUnit {
  maker: string;
  model: string;
  revision: string;
  unit: string;
  jobs: number;
  in_vain: number;
  /** Repaired jobs of that device. */
  of: number;
}

/** Which unit was repaired how often, by device, with the repaired jobs of that device beside. */
export function failingUnits(scope: Scope): Statement {
  const text = `select u.maker, u.model, u.revision, u.unit, u.jobs, u.in_vain, coalesce(d.jobs, 0)::int as of from
    (select maker, model, revision, unit, sum(jobs)::int as jobs, sum(in_vain)::int as in_vain from unit_month
      where month >= $1::date and (not emulated or $2) group by 1, 2, 3, 4) u
    left join (select name, sum(jobs)::int as jobs from tally_month
      where facet = 'device' and result = 'repaired' and month >= $1::date and (not emulated or $2) group by 1) d
      on d.name = u.maker || ' \u00b7 ' || u.model || ' \u00b7 ' || u.revision
    where u.jobs + u.in_vain > 0 order by u.maker, u.model, u.revision, u.jobs desc, u.unit`;
  return { text, values: [monthOf(scope), scope.emulated] };
}

export interface ProbeSum {
  probe: string;
  calibration: string;
  what: string;
  n: number;
  failed: number;
  reads: number;
  ohm: number;
  ohm_squares: number;
}

/** What the proofs of each probe come to, by calibration. */
export function probeSums(scope: Scope): Statement {
  const text = `select probe, calibration, what, sum(n)::int as n, sum(failed)::int as failed, sum(reads)::int as reads, sum(ohm) as ohm, sum(ohm_squares) as ohm_squares
    from probe_month where month >= $1::date and (not emulated or $2) group by 1, 2, 3 having sum(n) > 0 order by 1, 2, 3`;
  return { text, values: [monthOf(scope), scope.emulated] };
}

export interface ProofPoint {
  at: string;
  ohm: number;
  u_repeat: number;
  outcome: string;
  calibration: string;
  record_id: string;
}

/** The latest proofs of a probe, newest first. */
export function probeSeries(probe: string, what: string, emulated: boolean): Statement {
  const text = `select p.at, p.ohm, p.u_repeat, p.outcome, p.calibration, r.record_id from proof p join record r on r.id = p.id
    where p.probe = $1 and p.what = $2 and p.ohm is not null and r.counted and (not r.emulated or $3) order by p.at desc, p.id, p.n limit 400`;
  return { text, values: [probe, what, emulated] };
}

export interface FaultCount {
  link: string;
  mode: string;
  count: number;
  jobs: number;
}

/** The faults that the repaired jobs of a guide confirm. */
export function faultCounts(guide: string, emulated: boolean): Statement {
  const text = `select f.link, f.mode, sum(f.share) as count, count(*)::int as jobs from record r join fault f on f.id = r.id
    where r.guide_id = $1 and r.counted and (not r.emulated or $2) group by 1, 2 order by 3 desc, 1, 2`;
  return { text, values: [guide, emulated] };
}

export interface FaultCase {
  record_id: string;
  entries: number;
  job: string;
  link: string;
  mode: string;
  share: number;
}

/** The same record by record. */
export function faultCases(guide: string, emulated: boolean): Statement {
  const text = `select r.record_id, r.entries, r.job, f.link, f.mode, f.share from record r join fault f on f.id = r.id
    where r.guide_id = $1 and r.counted and (not r.emulated or $2) order by r.opened_at, r.id, f.link, f.mode`;
  return { text, values: [guide, emulated] };
}

export interface DurationCell {
  guide_id: string;
  check_id: string;
  bucket: number;
  n: number;
  fails: number;
}

/** How long tries of each check took, in buckets; bucket -1: not known. */
export function checkDurations(scope: Scope): Statement {
  const text = `select guide_id, check_id, bucket, sum(n)::int as n, sum(fails)::int as fails from check_month
    where month >= $1::date and (not emulated or $2) group by 1, 2, 3 having sum(n) > 0 order by 1, 2, 3`;
  return { text, values: [monthOf(scope), scope.emulated] };
}

export interface Tally {
  facet: string;
  name: string;
  result: string;
  jobs: number;
  minutes: number;
}

/** Jobs by bench, technician, device, guide, and by guide and conclusion. */
export function tallies(scope: Scope): Statement {
  const text = `select facet, name, result, sum(jobs)::int as jobs, sum(minutes) as minutes from tally_month
    where month >= $1::date and (not emulated or $2) group by 1, 2, 3 having sum(jobs) > 0 order by 1, 2, 3`;
  return { text, values: [monthOf(scope), scope.emulated] };
}

export interface MonthCount {
  month: string;
  result: string;
  jobs: number;
}

/** Jobs by month and result. */
export function monthCounts(scope: Scope): Statement {
  const text = `select to_char(month, 'YYYY-MM') as month, result, sum(jobs)::int as jobs from tally_month
    where facet = 'bench' and month >= $1::date and (not emulated or $2) group by 1, 2 having sum(jobs) > 0 order by 1, 2`;
  return { text, values: [monthOf(scope), scope.emulated] };
}

export interface DayCount {
  day: string;
  result: string;
  jobs: number;
}

/** Jobs by day (UTC) and result. */
export function dayCounts(sinceDay: string, emulated: boolean): Statement {
  const text = `select to_char(r.opened_at at time zone 'UTC', 'YYYY-MM-DD') as day, case when r.closed then r.result else 'open' end as result, count(*)::int as jobs
    from record r where r.opened_at >= $1::timestamptz and r.counted and (not r.emulated or $2) group by 1, 2 order by 1, 2`;
  return { text, values: [`${sinceDay}T00:00:00Z`, emulated] };
}

export interface Visits {
  repaired: number;
  /** Repaired with the first repair, and not back within the days asked for. */
  at_once: number;
  back: number;
}

/** Repaired jobs of units with a serial number, and how many came back within some days. */
export function visits(scope: Scope, days: number): Statement {
  const text = `select count(*)::int as repaired, coalesce(sum(case when back then 1 else 0 end), 0)::int as back,
      coalesce(sum(case when repairs = 1 and not back then 1 else 0 end), 0)::int as at_once from
    (select r.result, r.closed, r.repairs, r.opened_month, r.returns > 0 or coalesce(lead(r.opened_at) over (partition by r.serial_key order by r.opened_at, r.id)
        <= r.last_at + make_interval(days => $3::int), false) as back
      from record r where r.serial_key <> '' and r.opened_month >= $1::date and r.counted and (not r.emulated or $2)) v
    where closed and result = 'repaired'`;
  return { text, values: [monthOf(scope), scope.emulated, days] };
}

export interface VainRepair {
  title: string;
  currency: string | null;
  jobs: number;
  price: number;
  tried: number;
}

/** Repairs that did not help, and what their parts cost by the guides. */
export function vainRepairs(scope: Scope): Statement {
  const text = `select p.title, p.currency, count(*) filter (where not p.helped)::int as jobs, coalesce(sum(p.price) filter (where not p.helped), 0) as price, count(*)::int as tried
    from record r join repair p on p.id = r.id where r.opened_month >= $1::date and r.closed and r.counted and (not r.emulated or $2)
    group by 1, 2 having count(*) filter (where not p.helped) > 0 order by 4 desc, 3 desc, 1`;
  return { text, values: [monthOf(scope), scope.emulated] };
}

/** By what jobs are picked for a list; all that are given have to hold. */
export interface JobsWanted {
  facet?: 'bench' | 'technician' | 'device' | 'guide' | 'conclusion' | 'unit' | 'repair' | 'check' | 'day' | 'month';
  name?: string;
  result?: string;
  /** Not counted: records that do not verify. */
  trouble?: boolean;
}

const facetIs: Record<NonNullable<JobsWanted['facet']>, string> = {
  bench: "coalesce(r.bench, '') = $3",
  technician: 'r.technician = $3',
  device: `${device} = $3`,
  guide: 'r.guide_id = $3',
  conclusion: "r.guide_id || ' \u00b7 ' || coalesce(r.conclusion, '') = $3",
  unit: `exists (select 1 from unit_act u where u.id = r.id and u.act = 'repaired' and ${device} || ' \u00b7 ' || u.unit = $3)`,
  repair: 'exists (select 1 from repair p where p.id = r.id and p.title = $3 and not p.helped)',
  check: "exists (select 1 from attempt a where a.id = r.id and r.guide_id || ' \u00b7 ' || a.check_id = $3)",
  day: "to_char(r.opened_at at time zone 'UTC', 'YYYY-MM-DD') = $3",
  month: "to_char(r.opened_month, 'YYYY-MM') = $3",
};

/** The jobs behind a number, latest first; at most `limit`. */
export function jobsBehind(wanted: JobsWanted, scope: Scope, limit: number): Statement {
  const { facet, name = '', result = '', trouble = false } = wanted;
  const conditions = [
    'r.opened_month >= $1::date',
    '(not r.emulated or $2)',
    facet === undefined ? '$3::text is not null' : facetIs[facet],
    "($4::text = '' or (case when r.closed then r.result else 'open' end) = $4)",
    trouble ? 'not r.counted' : 'r.counted',
  ];
  const text = `select ${listed} from record r where ${conditions.join(' and ')} order by r.opened_at desc, r.id limit $5::int`;
  return { text, values: [monthOf(scope), scope.emulated, name, result, limit] };
}

/** One record by its identity. */
export function recordNamed(recordId: string): Statement {
  return { text: `select ${listed} from record r where r.record_id = $1`, values: [recordId] };
}

/** The identities of passed jobs of a guide: its units are known to be good. */
export function goodUnits(guide: string, emulated: boolean): Statement {
  const text = `select r.record_id from record r where r.guide_id = $1 and r.result = 'passed' and r.closed and r.counted and (not r.emulated or $2) order by r.opened_at, r.id`;
  return { text, values: [guide, emulated] };
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

export function totals(): Statement {
  const text = `select count(*)::int as records, coalesce(sum(case when counted then 1 else 0 end), 0)::int as counted,
    coalesce(sum(case when emulated then 1 else 0 end), 0)::int as emulated, coalesce(sum(case when closed then 0 else 1 end), 0)::int as open,
    coalesce(sum(case when opened_at > received_at + interval '1 day' then 1 else 0 end), 0)::int as ahead,
    (select count(*) from quarantine)::int as quarantined from record`;
  return { text, values: [] };
}

export interface Quarantined {
  id: string;
  head: string;
  code: string;
  bench: string | null;
  received_at: string;
}

export function quarantined(): Statement {
  return {
    text: 'select id, head, code, bench, received_at from quarantine order by received_at desc, id, head limit 200',
    values: [],
  };
}

/** What the ledger holds of some records, by their keys in JSON; see `rowKey`. */
export function standings(keys: readonly string[]): Statement {
  const text = `select r.record_id, r.head, r.entries, r.counted from json_array_elements_text($1::json) k join record r on r.id = k::uuid`;
  return { text, values: [JSON.stringify(keys)] };
}

export interface Standing {
  record_id: string;
  head: string;
  entries: number;
  counted: boolean;
}
