import type { SqlStatement } from './rows-in.ts';

/** Durations are kept in buckets, each this many times as wide as the one before. */
const bucketFactor = 1.25;

/** What is kept summed up by month, and how rows come to it. `sign` is 1 to add and -1 to take back. */
const sums = {
  unit_month: {
    keys: 'maker, model, revision, unit, month, emulated',
    from: `select r.maker, r.model, r.revision, u.unit, r.opened_month as month, r.emulated,
      SIGN * count(distinct case when u.helped then r.id end)::int as jobs, SIGN * count(distinct case when not u.helped then r.id end)::int as in_vain
      from record r join unit_act u on u.id = r.id where u.act = 'repaired' and r.counted and r.closed SCOPE group by 1, 2, 3, 4, 5, 6`,
    sums: ['jobs', 'in_vain'],
  },
  check_month: {
    keys: 'guide_id, check_id, month, emulated, bucket',
    from: `select r.guide_id, a.check_id, r.opened_month as month, r.emulated,
      case when a.took_ms is null then -1 else floor(ln(greatest(a.took_ms, 1)) / ln(${bucketFactor}::float8))::int end as bucket,
      SIGN * count(*)::int as n, SIGN * sum(case when a.outcome = 'fail' then 1 else 0 end)::int as fails
      from record r join attempt a on a.id = r.id where r.counted SCOPE group by 1, 2, 3, 4, 5`,
    sums: ['n', 'fails'],
  },
  probe_month: {
    keys: 'probe, calibration, what, month, emulated',
    from: `select p.probe, p.calibration, p.what, date_trunc('month', p.at at time zone 'UTC')::date as month, r.emulated,
      SIGN * count(*)::int as n, SIGN * sum(case when p.outcome <> 'pass' then 1 else 0 end)::int as failed, SIGN * count(p.ohm)::int as reads,
      SIGN * coalesce(sum(p.ohm), 0) as ohm, SIGN * coalesce(sum(p.ohm * p.ohm), 0) as ohm_squares
      from record r join proof p on p.id = r.id where r.counted SCOPE group by 1, 2, 3, 4, 5`,
    sums: ['n', 'failed', 'reads', 'ohm', 'ohm_squares'],
  },
  tally_month: {
    keys: 'month, facet, name, result, emulated',
    from: `select r.opened_month as month, f.facet, f.name, case when r.closed then r.result else 'open' end as result, r.emulated,
      SIGN * count(*)::int as jobs, SIGN * sum(r.minutes) as minutes
      from record r cross join lateral (values ('bench', coalesce(r.bench, '')), ('technician', r.technician),
        ('device', r.maker || ' \u00b7 ' || r.model || ' \u00b7 ' || r.revision), ('guide', r.guide_id), ('conclusion', r.guide_id || ' \u00b7 ' || coalesce(r.conclusion, ''))) as f(facet, name)
      where r.counted SCOPE group by 1, 2, 3, 4, 5`,
    sums: ['jobs', 'minutes'],
  },
} as const satisfies Record<string, { keys: string; from: string; sums: readonly string[] }>;

const sumTables = Object.keys(sums) as (keyof typeof sums)[];

/** Adds what one record comes to to the sums, or takes it back. */
export function sumRecord(id: string, sign: 1 | -1): SqlStatement[] {
  return sumTables.map((table) => ({ text: sumText(table, sign, 'and r.id = $1'), values: [id] }));
}

/**
 * Returns a row for each sum that is not what the records come to: table and number of keys that
 * differ. Sums of measured values may differ by their rounding.
 */
export function sumsThatDiffer(): SqlStatement[] {
  return sumTables.map((table) => {
    const { keys, sums: summed } = sums[table];
    const due = sums[table].from.replaceAll('SIGN', '1').replaceAll('SCOPE', '');
    const differs = summed.map(
      (name) =>
        `abs(coalesce(due.${name}, 0) - coalesce(kept.${name}, 0)) > 1e-6 * (1 + abs(coalesce(due.${name}, 0)))`,
    );
    const text = `select '${table}' as table_name, count(*)::int as differing from (${due}) due full join ${table} kept using (${keys}) where ${differs.join(' or ')}`;
    return { text, values: [] };
  });
}

function sumText(table: keyof typeof sums, sign: 1 | -1, scope: string): string {
  const { keys, from, sums: summed } = sums[table];
  const names = `${keys}, ${summed.join(', ')}`;
  const added = summed.map((name) => `${name} = ${table}.${name} + excluded.${name}`).join(', ');
  const source = from.replaceAll('SIGN', sign === 1 ? '1' : '-1').replaceAll('SCOPE', scope);
  // in the order of the keys, so that two records never wait for each other crosswise
  return `insert into ${table} (${names}) select ${names} from (${source}) s order by ${keys} on conflict (${keys}) do update set ${added}`;
}
