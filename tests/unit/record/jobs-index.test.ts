import { appendFile, readdir, readFile, rm, utimes, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { beforeEach, describe, expect, test } from 'vitest';
import { isWanted } from '../../../src/verify/folder/job-filter.ts';
import { openedIndex, sealedIndex, summaryVersion } from '../../../src/verify/folder/jobs-index.ts';
import { listJobs } from '../../../src/verify/folder/list-jobs.ts';
import { captured, chainOf, opened, probe, wholeJob } from '../../support/sample-job.ts';
import { scratch } from '../../support/scratch.ts';

let dir: string;
beforeEach(() => {
  dir = scratch();
});

const index = '.ohmwright-jobs.json';
const secret = Buffer.from('a secret of this user');
const nowMs = Date.UTC(2031, 5, 1);
/** Long before the index is written, so that nothing is in doubt. */
const settled = new Date(nowMs - 3_600_000);

async function put(name: string, bytes: Uint8Array): Promise<void> {
  await writeFile(join(dir, name), bytes);
  await utimes(join(dir, name), settled, settled);
}

/** Exchanges a word in the index and seals it again with a secret, to see whether it is looked at. */
async function tamper(from: string, to: string, by: Uint8Array = secret): Promise<void> {
  const text = openedIndex(await readFile(join(dir, index), 'utf8'), secret);
  expect(text).toContain(from);
  await writeFile(join(dir, index), sealedIndex(text!.replaceAll(from, to), by));
}

/** Exchanges a word in the index, as somebody would who does not have the secret. */
async function poison(from: string, to: string): Promise<void> {
  const text = await readFile(join(dir, index), 'utf8');
  expect(text).toContain(from);
  await writeFile(join(dir, index), text.replaceAll(from, to));
}

async function replaceAlike(): Promise<void> {
  await rm(join(dir, 'a.owjob'));
  await put('a.owjob', chainOf(wholeJob()).bytes);
}

describe('listing jobs', () => {
  test('takes records that look as they did from the index, and reads the others', async () => {
    await put('a.owjob', chainOf(wholeJob()).bytes);
    await put('b.owjob', chainOf([opened, probe(), captured('spring', 0.4)]).bytes);
    const first = await listJobs(dir, nowMs, secret);
    expect(first.map(({ result, open }) => [result, open])).toEqual([
      ['passed', false],
      ['inconclusive', true],
    ]);
    await tamper('Quillon', 'Changed');
    expect((await listJobs(dir, nowMs, secret)).map(({ device }) => device?.maker)).toEqual(['Changed', 'Changed']);
    await appendFile(join(dir, 'b.owjob'), '{"torn');
    const third = await listJobs(dir, nowMs, secret);
    expect(third.map(({ device }) => device?.maker).sort()).toEqual(['Changed', 'Quillon']);
    expect(third.find(({ path }) => path.endsWith('b.owjob'))?.trouble).toContain('cut short');
  });

  test.each([
    ['was changed just before the index was written', () => utimes(join(dir, 'a.owjob'), nowMs / 1e3, nowMs / 1e3)],
    ['has an index of another version', () => tamper(`"version":${summaryVersion}`, '"version":0')],
    ['has an index that is no JSON', () => writeFile(join(dir, index), '{"version":1,')],
    ['has an index that somebody else sealed', () => tamper('passed', 'failed', Buffer.from('another secret'))],
    ['has an index that was changed', () => poison('"passed"', '"failed"')],
    ['has an index that would crash a reader', () => poison('"counts":{', '"counts":null,"x":{')],
    ['was replaced by a file of the same length and time', replaceAlike],
    ['has no index', () => rm(join(dir, index))],
  ])('reads a record again that %s', async (_, doubt) => {
    await put('a.owjob', chainOf(wholeJob()).bytes);
    await listJobs(dir, nowMs, secret);
    await tamper('Quillon', 'Changed');
    await doubt();
    if ((await readdir(dir)).length === 2) await listJobs(dir, nowMs, secret);
    expect((await listJobs(dir, nowMs, secret)).map(({ device }) => device?.maker)).toEqual(['Quillon']);
  });

  test('reads a record again that looks as it did, but was written within the clock tick of the index', async () => {
    await put('a.owjob', chainOf(wholeJob()).bytes);
    await utimes(join(dir, 'a.owjob'), (nowMs - 500) / 1e3, (nowMs - 500) / 1e3);
    await listJobs(dir, nowMs, secret);
    await tamper('Quillon', 'Changed');
    expect((await listJobs(dir, nowMs, secret)).map(({ device }) => device?.maker)).toEqual(['Quillon']);
  });

  test('goes without an index where there is no secret to seal it with', async () => {
    await put('a.owjob', chainOf(wholeJob()).bytes);
    expect(await listJobs(dir, nowMs, null)).toHaveLength(1);
    expect(await readdir(dir)).toEqual(['a.owjob']);
  });

  test('says of each record whether it verifies', async () => {
    await put('a.owjob', chainOf(wholeJob()).bytes);
    const lax = wholeJob().map((entry) => (entry.kind === 'observation' ? { ...entry, question: 'Another?' } : entry));
    await put('b.owjob', chainOf(lax).bytes);
    for (const _ of ['read', 'from the index']) {
      const jobs = await listJobs(dir, nowMs, secret);
      expect(jobs.map(({ path, verdict, verified }) => [path.at(-7), verdict, verified]).sort()).toEqual([
        ['a', 'holds', true],
        ['b', 'departs', false],
      ]);
    }
  });

  test('forgets records that are gone', async () => {
    await put('a.owjob', chainOf(wholeJob()).bytes);
    await put('b.owjob', chainOf(wholeJob()).bytes);
    await listJobs(dir, nowMs, secret);
    await rm(join(dir, 'a.owjob'));
    expect(await listJobs(dir, nowMs, secret)).toHaveLength(1);
    expect(await readFile(join(dir, index), 'utf8')).not.toContain('a.owjob');
  });
});

describe('filtering jobs', () => {
  test('finds by device, outcome, day, and what is open; all that is asked for has to hold', async () => {
    await put('a.owjob', chainOf(wholeJob()).bytes);
    await put('b.owjob', chainOf([opened, probe()], Date.UTC(2031, 6, 4)).bytes);
    const jobs = await listJobs(dir, nowMs, secret);
    const found = (filter: Parameters<typeof isWanted>[1]) =>
      jobs.filter((job) => isWanted(job, filter, (iso) => iso.slice(0, 10))).map(({ path }) => path.at(-7));
    expect(found({})).toEqual(['b', 'a']);
    expect(found({ model: 'quillon lamp' })).toEqual(['b', 'a']);
    expect(found({ model: 'other' })).toEqual([]);
    expect(found({ outcome: 'passed' })).toEqual(['a']);
    expect(found({ outcome: 'open' })).toEqual(['b']);
    expect(found({ open: true })).toEqual(['b']);
    expect(found({ since: '2031-07-04' })).toEqual(['b']);
    expect(found({ until: '2031-07-03' })).toEqual(['a']);
    expect(found({ since: '2031-05-17', until: '2031-05-17', outcome: 'passed' })).toEqual(['a']);
    expect(found({ unit: 'spring-board' })).toEqual([]);
  });
});
