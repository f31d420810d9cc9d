import { readBegun } from '../../record/signing/begun-records.ts';
import { BenchSeries } from '../../record/signing/bench-series.ts';
import { readRecord } from '../../record/store/read-record.ts';
import { type AmongRecords, type SeriesFinding, verifySeries } from '../verify-series.ts';

/**
 * Returns what several records together show, with what the bench at hand knows of its own: where
 * its series ends, and where each record was begun. So one that lies elsewhere is told from one that
 * is gone, and from a number that no record ever got. Of another bench's records only their own
 * words are known. `keyPath`: the key of the bench that is looking.
 *
 * @throws OhmwrightError `record.disk`
 */
export async function verifyAmong(records: readonly AmongRecords[], keyPath: string): Promise<SeriesFinding[]> {
  const end = await BenchSeries.endOf(keyPath);
  const found = verifySeries(records, new Map(end === null ? [] : [[end.series, end.number]]));
  const begun = found.some(({ missing }) => missing !== undefined) ? await readBegun(keyPath) : [];
  const known = new Set(begun.map(({ series }) => series));
  return Promise.all(
    found.map(async (finding): Promise<SeriesFinding> => {
      const { missing, what } = finding;
      if (missing === undefined || !known.has(missing.series)) return finding;
      const there = begun.filter(({ series, number }) => series === missing.series && number === missing.number);
      const at = `record ${missing.number} of this bench`;
      if (there.length === 0)
        return {
          ...finding,
          code: 'series.unused',
          isDeparture: false,
          what: `${at}: the number was taken, and no record was begun`,
        };
      for (const { path, job, identity } of there) {
        if (await holdsEntry(path, identity, missing))
          return {
            ...finding,
            code: 'series.elsewhere',
            isDeparture: false,
            what: `${at} (job ${job}) lies in ${path}`,
          };
      }
      return { ...finding, what: `${what} (job ${there[0]!.job} was begun in ${there[0]!.path})` };
    }),
  );
}

/** Whether a record is still there, with the entry that took this number. */
async function holdsEntry(
  path: string,
  identity: string,
  { series, number }: NonNullable<SeriesFinding['missing']>,
): Promise<boolean> {
  const read = await readRecord(path).catch(() => null);
  if (read === null || read.identity !== identity) return false;
  return read.entries.some(
    (entry) =>
      (entry.kind === 'opened' || entry.kind === 'addendum') &&
      entry.bench?.series === series &&
      entry.bench.number === number,
  );
}
