import type { GoodValue } from '../../calibrate/limits/limits-proposal.ts';
import { OhmwrightError } from '../../errors/ohmwright-error.ts';
import { readForeignText } from '../../files/read-file.ts';
import type { Check, Guide } from '../../guide/types.ts';
import { knownGoodOf, notDone, unitOf } from '../../record/state/known-good.ts';
import { readRecord } from '../../record/store/read-record.ts';
import { goodValuesFromCsv } from './known-good-csv.ts';

/** A check with limits. */
export type LimitedCheck = Exclude<Check, { kind: 'look' | 'bridge' }>;

/** Values of known-good units by check, and what was left out, in words. */
export interface KnownGoodValues {
  values: Map<string, GoodValue[]>;
  notes: string[];
}

/** Returns the checks of a guide that have limits. */
export function limitedChecks(guide: Guide): LimitedCheck[] {
  return guide.checks.filter((check): check is LimitedCheck => check.kind !== 'look' && check.kind !== 'bridge');
}

/**
 * Returns the values of known-good units from job records (`recordsOf` finds those that a source
 * names) and from CSV files. A unit that comes twice counts once, with its latest values:
 * two readings of one unit say nothing of how units differ.
 *
 * @throws OhmwrightError `record.missing`, `record.disk`, `limits.csv`, `limits.unit`
 */
export async function readKnownGood(
  guide: Guide,
  sources: readonly string[],
  recordsOf: (source: string) => Promise<string[]>,
  leaveOut: readonly string[],
): Promise<KnownGoodValues> {
  const values = new Map<string, GoodValue[]>(limitedChecks(guide).map(({ id }) => [id, []]));
  const notes: string[] = [];
  const unseen = new Set(leaveOut);
  const seen = new Map<string, string>();
  const records = { taken: 0, emulated: 0, without: new Map<string, number>() };
  const add = (check: string, good: GoodValue, source: string): void => {
    unseen.delete(good.unit);
    if (leaveOut.includes(good.unit)) {
      notes.push(`${source}: ${check} of unit ${good.unit} left out as asked`);
      return;
    }
    const list = values.get(check);
    if (list === undefined) return;
    const before = list.findIndex(({ unit }) => unit === good.unit);
    if (before >= 0) {
      notes.push(`${source}: unit ${good.unit} has ${check} a second time; the later value counts`);
      list.splice(before, 1);
    }
    list.push(good);
  };
  for (const source of sources) {
    if (source.toLowerCase().endsWith('.csv')) {
      const rows = goodValuesFromCsv(await readForeignText(source, 'table of values'), source, guide);
      for (const { check, good } of rows) add(check, good, source);
      continue;
    }
    const found: GoodRecord[] = [];
    for (const path of await recordsOf(source)) found.push(await goodRecord(path, guide));
    // oldest first, so that the latest of a unit is the one that counts
    for (const one of found.sort((a, b) => a.lastAt.localeCompare(b.lastAt))) {
      const { path, identity, isEmulated, unit, checks } = one;
      const copied = seen.get(identity ?? '');
      const trouble = copied === undefined ? one.trouble : `it is a copy of ${copied}`;
      if (identity !== null) seen.set(identity, path);
      if (trouble !== null) {
        notes.push(`${path}: left out, ${trouble}`);
        continue;
      }
      records.taken += 1;
      if (isEmulated) records.emulated += 1;
      for (const { check, reading, why } of checks) {
        if (reading === null) {
          if (!values.has(check)) continue;
          if (why === notDone) records.without.set(check, (records.without.get(check) ?? 0) + 1);
          else notes.push(`${path}: ${check} left out, ${why}`);
          continue;
        }
        add(check, { unit, value: reading.value, u: reading.u, isOpen: reading.state === 'above-range' }, path);
      }
    }
  }
  notes.push(...recordNotes(records));
  const [stranger] = unseen;
  if (stranger !== undefined) {
    throw new OhmwrightError('limits.unit', `there is no unit '${stranger}' to leave out in these sources`, {
      help: 'name it as the sources do: by its serial number, or by the name of its job',
    });
  }
  return { values, notes };
}

/** What one record has of a unit that is known to be good. */
interface GoodRecord {
  path: string;
  identity: string | null;
  lastAt: string;
  /** Why nothing of it is taken. */
  trouble: string | null;
  isEmulated: boolean;
  unit: string;
  checks: ReturnType<typeof knownGoodOf>;
}

async function goodRecord(path: string, guide: Guide): Promise<GoodRecord> {
  const { state, entries, whole, identity } = await readRecord(path);
  const trouble = whole ? otherGuide(guide, state.opened?.guide.id ?? null) : 'the record is not whole';
  return {
    path,
    identity,
    lastAt: state.lastAt ?? '',
    trouble,
    isEmulated: state.emulated,
    unit: trouble === null ? unitOf(state) : '',
    checks: trouble === null ? knownGoodOf(state, entries) : [],
  };
}

/** What holds for many records is said once. */
function recordNotes({ taken, emulated, without }: { taken: number; emulated: number; without: Map<string, number> }) {
  const notes: string[] = [];
  const of = (count: number): string => `${count} of ${taken} ${taken === 1 ? 'record' : 'records'}`;
  if (emulated > 0) notes.push(`${of(emulated)} measured by the emulated probe, on no real unit`);
  const counts = [...new Set(without.values())].sort((a, b) => b - a);
  for (const count of counts) {
    const checks = [...without].filter(([, times]) => times === count).map(([check]) => check);
    notes.push(`not done in ${of(count)}: ${checks.join(', ')}`);
  }
  if (counts.length > 0)
    notes.push('a job asks only for the checks that it needs; measure known-good units with --order guide');
  return notes;
}

function otherGuide(guide: Guide, id: string | null): string | null {
  if (id === guide.id) return null;
  return id === null ? 'it has no opening entry' : `it was made with another guide (${id})`;
}
