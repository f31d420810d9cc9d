// A bench's own chain over its records: every record has a number, so one that was never handed over leaves a hole.
import { copyFile, readFile, rename, rm } from 'node:fs/promises';
import { join } from 'node:path';
import { beforeEach, describe, expect, test } from 'vitest';
import { parseRecord } from '../../../src/record/chain/parse-record.ts';
import { openBenchKey } from '../../../src/record/signing/bench-key.ts';
import { BenchSeries } from '../../../src/record/signing/bench-series.ts';
import { JobRecord } from '../../../src/record/store/record.ts';
import { verifyAmong } from '../../../src/verify/folder/missing-records.ts';
import { verifyRecord } from '../../../src/verify/verify.ts';
import { type AmongRecords, verifySeries } from '../../../src/verify/verify-series.ts';
import { cli } from '../../support/command-line.ts';
import { opening } from '../../support/sample-job.ts';
import { scratch } from '../../support/scratch.ts';

let dir: string;
let keyPath: string;
beforeEach(() => {
  dir = scratch();
  keyPath = join(dir, 'bench-key.pem');
});

const seriesNow = () => new BenchSeries(keyPath, openBenchKey(keyPath).publicKey);

/** Opens a job in a folder, closes and signs it, and returns its path. */
async function job(folder = 'jobs', how: { sign?: boolean } = {}): Promise<string> {
  const record = await JobRecord.create(join(dir, folder), opening, { series: seriesNow() });
  await record.closeJob('done', how.sign === false ? {} : { key: openBenchKey(keyPath) });
  await record.close();
  return record.path;
}

async function among(...paths: string[]): Promise<AmongRecords[]> {
  return Promise.all(paths.map(async (file) => ({ file, lines: parseRecord(await readFile(file)).lines })));
}

const departuresOf = (records: AmongRecords[]) =>
  verifySeries(records).flatMap(({ code, isDeparture }) => (isDeparture ? code : []));
const placeOf = async (path: string) => {
  const entry = parseRecord(await readFile(path)).lines[0]?.entry;
  return entry?.kind === 'opened' ? entry.bench : undefined;
};

describe('the records of one bench', () => {
  test('are numbered over all folders, and each names the end of the one before', async () => {
    const paths = [await job(), await job('other'), await job()];
    const places = await Promise.all(paths.map(placeOf));
    expect(places.map((place) => place?.number)).toEqual([1, 2, 3]);
    expect(places.map((place) => place?.before?.number ?? null)).toEqual([null, 1, 2]);
    expect(places[1]?.before?.sha256).toBe(verifyRecord(await readFile(paths[0]!)).lastSha256);
    expect(departuresOf(await among(...paths))).toEqual([]);
    for (const path of paths) expect(verifyRecord(await readFile(path)).departures).toEqual([]);
  });

  test('show a hole where one is missing, and none where it only lies in another folder', async () => {
    const paths = [await job(), await job('other'), await job()];
    expect(departuresOf(await among(paths[0]!, paths[2]!))).toEqual(['series.hole']);
    expect(departuresOf(await among(paths[2]!))).toEqual(['series.hole', 'series.hole']);
    expect(departuresOf(await among(...paths))).toEqual([]);
  });

  test('are looked for when a folder is named; a file alone, as a customer has it, misses none', async () => {
    const paths = [await job(), await job('other'), await job()];
    for (const path of paths) expect((await cli(dir, ['verify', path])).code).toBe(0);
    expect((await cli(dir, ['verify', join(dir, 'jobs')])).code).toBe(6);
    expect((await cli(dir, ['verify', join(dir, 'jobs'), join(dir, 'other')])).code).toBe(0);
  });

  test('count a job that was begun and never closed', async () => {
    const first = await JobRecord.create(join(dir, 'jobs'), opening, { series: seriesNow() });
    await first.close();
    const second = await job();
    expect(departuresOf(await among(first.path, second))).toEqual([]);
    expect(departuresOf(await among(second))).toEqual(['series.hole']);
  });

  test('never get one number twice, even when two are opened at once', async () => {
    openBenchKey(keyPath);
    const paths = await Promise.all(Array.from({ length: 5 }, () => job()));
    const numbers = await Promise.all(paths.map(async (path) => (await placeOf(path))?.number));
    expect(numbers.sort()).toEqual([1, 2, 3, 4, 5]);
  });

  test('show two that have one number, a false one in the place of another, and copies', async () => {
    const first = await job();
    await copyFile(`${keyPath}.series.json`, join(dir, 'old'));
    const second = await job();
    await rename(join(dir, 'old'), `${keyPath}.series.json`);
    const again = await job();
    expect(departuresOf(await among(first, second, again))).toEqual(['series.twice']);
    const third = await job();
    expect(departuresOf(await among(first, second, third))).toContain('series.before');
    await copyFile(first, join(dir, 'copy.owjob'));
    expect(departuresOf(await among(first, join(dir, 'copy.owjob')))).toEqual(['record.copy']);
  });

  test('begin a new series when the counter is lost or the key is put back, and say so', async () => {
    const first = await job();
    await rm(`${keyPath}.series.json`);
    const second = await job();
    await copyFile(keyPath, `${keyPath}.copy`);
    await rm(keyPath);
    await rename(`${keyPath}.copy`, keyPath);
    const third = await job();
    const places = await Promise.all([first, second, third].map(placeOf));
    expect(places.map((place) => place?.begins)).toEqual(['no-counter', 'no-counter', 'key-put-back']);
    expect(new Set(places.map((place) => place?.series)).size).toBe(3);
    const found = verifySeries(await among(first, second, third));
    expect(found.map(({ code, isDeparture }) => [code, isDeparture])).toEqual(Array(3).fill(['series.begins', false]));
  });

  test('are each signed by the bench that opened them', async () => {
    const unsigned = await job('jobs', { sign: false });
    expect(verifyRecord(await readFile(unsigned)).verdict).toBe('not-signed');
    const record = await JobRecord.create(join(dir, 'jobs'), opening, { series: seriesNow() });
    await record.closeJob('done', { key: openBenchKey(join(dir, 'another-key.pem')) });
    await record.close();
    expect(verifyRecord(await readFile(record.path)).departures.map(({ code }) => code)).toEqual(['signature.bench']);
  });
});

describe('what the bench knows of its own records', () => {
  const codes = async (...paths: string[]) =>
    (await verifyAmong(await among(...paths), keyPath)).map(({ code, isDeparture }) => `${code} ${isDeparture}`);

  test('tells one that lies elsewhere from one that is gone, and both from a number without a record', async () => {
    const first = await job();
    await seriesNow().take();
    const third = await job('other');
    const fourth = await job();
    const begins = 'series.begins false';
    expect(await codes(first, fourth)).toEqual([begins, 'series.unused false', 'series.elsewhere false']);
    await rm(third);
    expect(await codes(first, fourth)).toEqual([begins, 'series.unused false', 'series.hole true']);
    const [hole] = (await verifyAmong(await among(first, fourth), keyPath)).filter(
      ({ code }) => code === 'series.hole',
    );
    expect(hole?.what).toContain(third);
  });

  test('shows that the latest record is missing, which the others alone do not', async () => {
    const first = await job();
    const last = await job();
    expect(departuresOf(await among(first))).toEqual([]);
    expect(await codes(first)).toEqual(['series.begins false', 'series.elsewhere false']);
    await rm(last);
    expect(await codes(first)).toEqual(['series.begins false', 'series.hole true']);
    // to another bench the end is not known
    expect((await verifyAmong(await among(first), join(dir, 'another-key.pem'))).map(({ code }) => code)).toEqual([
      'series.begins',
    ]);
  });

  test('is not taken in by another record in the place of the one that was begun there', async () => {
    const first = await job();
    const second = await job();
    await copyFile(first, second);
    expect(await codes(first)).toEqual(['series.begins false', 'series.hole true']);
  });
});

describe('a record without a place', () => {
  test('is none of a series, and its name is told when it is not that of its job', async () => {
    const record = await JobRecord.create(join(dir, 'jobs'), opening);
    await record.close();
    expect(verifySeries(await among(record.path))).toEqual([]);
    await rename(record.path, join(dir, 'renamed.owjob'));
    const found = verifySeries(await among(join(dir, 'renamed.owjob')));
    expect(found.map(({ code, isDeparture }) => [code, isDeparture])).toEqual([['record.name', false]]);
  });
});
