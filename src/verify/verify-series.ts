import { basename } from 'node:path';
import { group } from 'd3-array';
import type { RecordLine } from '../record/chain/parse-record.ts';
import type { BenchPlace } from '../record/entries/bench-place.ts';
import { recordEnding } from '../record/store/job-name.ts';

/** One record among several that are looked at together. `lines`: its whole lines. */
export interface AmongRecords {
  file: string;
  lines: readonly RecordLine[];
}

/**
 * What several records together show, that none of them shows alone. `isDeparture` false: worth
 * knowing.
 */
export interface SeriesFinding {
  code:
    | 'series.elsewhere'
    | 'series.unused'
    | 'series.hole'
    | 'series.twice'
    | 'series.before'
    | 'series.begins'
    | 'record.copy'
    | 'record.name';
  files: string[];
  what: string;
  isDeparture: boolean;
  /** Of a hole: which number of which series. */
  missing?: { series: string; number: number };
}

/**
 * Returns what is wrong among several records: copies of one, and holes in the numbers that a bench
 * gave its records. A record that lies in another folder is no hole when that folder is looked at
 * too. Its identity is the hash of its first line. `ends`: the last number of a series, where the bench
 * that is looking knows it; where a key handed over to the next, the statement in the record says it.
 */
export function verifySeries(
  records: readonly AmongRecords[],
  ends: ReadonlyMap<string, number> = new Map(),
): SeriesFinding[] {
  const opened = records.filter(({ lines }) => lines[0]?.entry.kind === 'opened');
  const byIdentity = group(opened, ({ lines }) => lines[0]!.sha256);
  const found: SeriesFinding[] = opened.flatMap(({ file, lines }) => {
    const { entry } = lines[0]!;
    const job = entry.kind === 'opened' ? entry.job : '';
    if (basename(file, recordEnding) === job) return [];
    const what = `the record of job ${job} lies under another name`;
    return { code: 'record.name' as const, files: [file], what, isDeparture: false };
  });
  for (const copies of byIdentity.values()) {
    if (copies.length < 2) continue;
    const files = copies.map(({ file }) => file);
    found.push({ code: 'record.copy', files, what: `one record lies under ${files.length} names`, isDeparture: true });
  }
  const placed = [...byIdentity.values()].flatMap(([record]) =>
    placesOf(record!).map((place) => ({ ...record!, place })),
  );
  const last = new Map(ends);
  for (const { place } of placed) {
    const end = place.succession?.last;
    if (end != null) last.set(end.series, end.number);
  }
  for (const series of group(placed, ({ place }) => `${place.key} ${place.series}`).values())
    found.push(...inSeries(series, last));
  return found;
}

type Placed = AmongRecords & { place: BenchPlace };

function inSeries(records: readonly Placed[], ends: ReadonlyMap<string, number>): SeriesFinding[] {
  const found: SeriesFinding[] = [];
  const byNumber = group(records, ({ place }) => place.number);
  for (const [number, same] of byNumber) {
    const files = same.map(({ file }) => file);
    if (same.length > 1)
      found.push({ code: 'series.twice', files, what: `two records have the number ${number}`, isDeparture: true });
    const { file, place } = same[0]!;
    if (place.begins !== null)
      found.push({ code: 'series.begins', files: [file], what: beginsWords[place.begins], isDeparture: false });
    const before = place.before === null ? undefined : byNumber.get(place.before.number)?.[0];
    if (before !== undefined && !before.lines.some(({ sha256 }) => sha256 === place.before?.sha256)) {
      const what = `record ${place.before?.number} is not the one that record ${number} follows`;
      found.push({ code: 'series.before', files: [before.file, file], what, isDeparture: true });
    }
  }
  const { series } = records[0]!.place;
  const greatest = Math.max(...byNumber.keys());
  const last = Math.max(greatest, ends.get(series) ?? 0);
  for (let number = 1; number <= last; number++) {
    if (byNumber.has(number)) continue;
    const missing = { series, number };
    const next = [...byNumber.keys()].filter((one) => one > number).sort((a, b) => a - b)[0];
    const { place, file } = byNumber.get(next ?? greatest)![0]!;
    if (next === undefined) {
      const what = `record ${number} of this bench is missing: its series goes on to ${last}`;
      found.push({ code: 'series.hole', files: [file], what, isDeparture: true, missing });
      continue;
    }
    // the bench itself knew no end of it: it was counted, and then nothing was begun or kept of it
    const unknown = place.before !== null && place.before.number < number;
    const what = `record ${number} of this bench is missing${unknown ? '; the bench did not know of an end of it either' : ''}`;
    found.push({ code: 'series.hole', files: [file], what, isDeparture: true, missing });
  }
  return found;
}

const beginsWords: Record<NonNullable<BenchPlace['begins']>, string> = {
  'no-counter': 'a series of numbers begins here: the bench is new, or its counter was lost',
  'key-succeeded': 'a series of numbers begins here: the bench has a new key, which the one before has signed',
  'key-put-back': 'a series of numbers begins here: the key of the bench was put back from a copy',
};

/** The places of a record: that of its opening, and one of each addendum. */
function placesOf({ lines }: AmongRecords): BenchPlace[] {
  return lines.flatMap(({ entry }) =>
    (entry.kind === 'opened' || entry.kind === 'addendum') && entry.bench !== undefined ? [entry.bench] : [],
  );
}
