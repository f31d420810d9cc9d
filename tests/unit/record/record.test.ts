import { readdir, readFile, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { beforeEach, describe, expect, test } from 'vitest';
import { errnoOf } from '../../../src/errors/errno.ts';
import { readRecord } from '../../../src/record/store/read-record.ts';
import { JobRecord } from '../../../src/record/store/record.ts';
import { listJobs } from '../../../src/verify/folder/list-jobs.ts';
import { verifyRecord } from '../../../src/verify/verify.ts';
import { captured, chainOf, opened, opening, probe, proofs, refusal, wholeJob } from '../../support/sample-job.ts';
import { scratch } from '../../support/scratch.ts';

let dir: string;
beforeEach(() => {
  dir = scratch();
});

const clock = () => Date.UTC(2031, 4, 17, 8);
const named = { ...opening, job: '2031-05-17-abcdef' };
const kindsIn = async (path: string) => (await readRecord(path)).entries.map(({ kind }) => kind);

describe('creating a record', () => {
  test('makes the folder and a file named after the drawn job, whose first entry is on disk', async () => {
    const record = await JobRecord.create(join(dir, 'jobs'), opening, {
      clock,
      random: () => Buffer.from([0, 1, 2, 29, 30, 31]),
    });
    expect(record.path).toBe(join(dir, 'jobs', '2031-05-17-abc567.owjob'));
    expect(record.state.opened?.guide.checks).toHaveLength(3);
    expect(await kindsIn(record.path)).toEqual(['opened']);
    await record.close();
    expect(await readdir(join(dir, 'jobs'))).toEqual(['2031-05-17-abc567.owjob']);
  });

  test('draws again when the name is taken', async () => {
    const draws = [0, 0, 7];
    const random = () => Buffer.alloc(6, draws.shift());
    const first = await JobRecord.create(dir, opening, { clock, random });
    await first.close();
    const second = await JobRecord.create(dir, opening, { clock, random });
    expect(second.path).toContain('hhhhhh');
    await second.close();
  });

  test('never writes over a record of the same name', async () => {
    const first = await JobRecord.create(dir, named);
    await first.close();
    const before = await readFile(first.path);
    await refusal(JobRecord.create(dir, named), 'record.exists');
    expect(await readFile(first.path)).toEqual(before);
    expect(await readdir(dir)).toEqual(['2031-05-17-abcdef.owjob']);
  });

  test('takes the file that it is told to', async () => {
    const file = join(dir, 'deep', 'evidence.owjob');
    const record = await JobRecord.create(dir, opening, { file });
    expect(record.path).toBe(file);
    await record.close();
  });

  test('refuses a job name that leads out of the folder, and leaves nothing behind', async () => {
    await refusal(JobRecord.create(dir, { ...opening, job: '../x' }, { file: join(dir, 'x.owjob') }), 'record.entry');
    expect(await readdir(dir)).toEqual([]);
  });
});

describe('appending', () => {
  test('stores a whole job that verifies, its state being that of the fold', async () => {
    const record = await JobRecord.create(dir, named, { clock });
    for (const entry of wholeJob().slice(1)) await record.append(entry);
    expect(record.state.result).toBe('passed');
    await record.close();
    const read = await readRecord(record.path);
    expect(read.whole).toBe(true);
    expect(read.state).toEqual(record.state);
    expect(verifyRecord(read.bytes).departures).toEqual([]);
  });

  test('keeps the order of the calls when nobody waits', async () => {
    const record = await JobRecord.create(dir, named);
    const all = Array.from({ length: 20 }, (_, i) => record.append({ kind: 'note', text: `${i}` }));
    const entries = await Promise.all(all);
    expect(entries.map(({ n }) => n)).toEqual(all.map((_, i) => i + 2));
    await record.close();
    expect(verifyRecord(await readFile(record.path)).ok).toBe(true);
  });

  test('refuses an entry of wrong form and goes on', async () => {
    const record = await JobRecord.create(dir, named);
    const wrong = captured('spring', 1, 1, { pInside: Number.NaN });
    const error = await refusal(record.append(wrong), 'record.entry');
    expect(error.message).toContain(wrong.check);
    await record.append({ kind: 'note', text: 'still here' });
    await record.close();
    expect(await kindsIn(record.path)).toEqual(['opened', 'note']);
  });

  test('takes nothing after the job or the record is closed', async () => {
    const record = await JobRecord.create(dir, named);
    for (const entry of wholeJob().slice(1)) await record.append(entry);
    await refusal(record.append({ kind: 'note', text: 'late' }), 'record.closed');
    await record.close();
    await refusal(record.append({ kind: 'note', text: 'later' }), 'record.closed');
    await record.close();
    await refusal(JobRecord.resume(record.path), 'record.closed');
  });

  test('closes a job by what the entries before bear out, those still on their way too', async () => {
    const record = await JobRecord.create(dir, named);
    const entries = wholeJob(47).slice(1, -1);
    const all = [...entries.map((entry) => record.append(entry)), record.closeJob('done')];
    const closed = (await Promise.all(all)).at(-1);
    expect(closed).toMatchObject({ kind: 'closed', result: 'failed', proofs: 'held', why: 'done' });
    await record.close();
    expect(verifyRecord(await readFile(record.path)).departures).toEqual([]);

    const other = await JobRecord.create(dir, { ...opening, job: 'b' });
    expect(await other.closeJob('given up', { abandoned: true })).toMatchObject({
      result: 'abandoned',
      proofs: 'missing',
    });
    await other.close();
    expect(verifyRecord(await readFile(other.path)).ok).toBe(true);
  });

  test('notices a clock that goes back without minding it', async () => {
    const times = [5_000, 5_000, 5_000, 1_000, 9_000];
    const record = await JobRecord.create(dir, named, { clock: () => times.shift() ?? 9_000 });
    await record.append({ kind: 'note', text: 'a' });
    await record.append({ kind: 'note', text: 'b' });
    await record.close();
    const report = verifyRecord(await readFile(record.path));
    expect(report.ok).toBe(true);
    expect(report.notes.map(({ code }) => code)).toContain('clock.back');
  });
});

describe('resuming', () => {
  test('goes on with the fold of what is there', async () => {
    const record = await JobRecord.create(dir, named);
    for (const entry of [probe(), ...proofs('opening'), captured('spring', 0.4)]) await record.append(entry);
    const before = record.state;
    await record.close();
    const again = await JobRecord.resume(record.path, { tool: 'ohmwright 9' });
    expect(again.state).toMatchObject({ entries: before.entries + 1, checks: before.checks, resumes: 1 });
    expect(again.state.unfinished).toEqual(['key', 'lens']);
    await again.append(captured('spring', 0.5, 2));
    await again.close();
    const read = await readRecord(record.path);
    expect(verifyRecord(read.bytes).ok).toBe(true);
    expect(read.entries.at(-2)).toMatchObject({ kind: 'resumed', tool: 'ohmwright 9' });
  });

  test('says so when there is no such record, and leaves no lock', async () => {
    const error = await refusal(JobRecord.resume(join(dir, 'none.owjob')), 'record.missing');
    expect(errnoOf(error)).toBe('ENOENT');
    expect(await readdir(dir)).toEqual([]);
  });

  test('refuses a record that is damaged in the middle, names the line, and leaves the file as it is', async () => {
    const { bytes, lines } = chainOf(wholeJob().slice(0, -1));
    const path = join(dir, 'x.owjob');
    const broken = Buffer.from(bytes);
    const at = Buffer.concat(lines.slice(0, 3)).length + 30;
    broken[at] = broken[at]! ^ 4;
    await writeFile(path, broken);
    const error = await refusal(JobRecord.resume(path), 'record.damaged');
    expect(error.message).toContain('line 4');
    expect(error.help).toContain('verify');
    expect(await readFile(path)).toEqual(broken);
    expect(await readdir(dir)).toEqual(['x.owjob']);
    expect(verifyRecord(broken).departures[0]).toMatchObject({ line: 4, code: 'line.hash' });
  });

  test('refuses a file that holds no whole entry, or no opening', async () => {
    const path = join(dir, 'x.owjob');
    await writeFile(path, '');
    await refusal(JobRecord.resume(path), 'record.empty');
    await writeFile(path, chainOf([opened]).bytes.subarray(0, 50));
    await refusal(JobRecord.resume(path), 'record.empty');
    await writeFile(path, chainOf([{ kind: 'note', text: 'x' }]).bytes);
    await refusal(JobRecord.resume(path), 'record.damaged');
  });
});

describe('a torn end', () => {
  test('is set aside to a file, and the recovery is an entry', async () => {
    const { bytes, lines } = chainOf(wholeJob().slice(0, 6));
    const path = join(dir, 'x.owjob');
    const cut = bytes.length - 40;
    await writeFile(path, bytes.subarray(0, cut));
    const record = await JobRecord.resume(path);
    await record.close();
    const read = await readRecord(path);
    const torn = bytes.subarray(bytes.length - lines[5]!.length, cut);
    expect(read.entries.map(({ kind }) => kind).slice(-2)).toEqual(['recovered', 'resumed']);
    expect(read.state.recovered).toMatchObject([{ file: 'x.owjob.torn-1', bytes: torn.length }]);
    expect(await readFile(join(dir, 'x.owjob.torn-1'))).toEqual(Buffer.from(torn));
    expect(verifyRecord(read.bytes).ok).toBe(true);
    expect(read.bytes.subarray(0, bytes.length - lines[5]!.length)).toEqual(
      bytes.subarray(0, bytes.length - lines[5]!.length),
    );
  });

  test('that a recovery set aside and did not live to tell of is told of by the next', async () => {
    const path = join(dir, 'x.owjob');
    const { bytes } = chainOf(wholeJob().slice(0, 6));
    await writeFile(path, bytes);
    await writeFile(`${path}.torn-1`, 'half a li');
    const record = await JobRecord.resume(path);
    expect(record.state.recovered).toMatchObject([{ file: 'x.owjob.torn-1', bytes: 9 }]);
    await record.close();
    const again = await JobRecord.resume(path);
    expect(again.state.recovered).toHaveLength(1);
    await again.close();
  });

  test('without its newline only is a whole entry, and gets the newline', async () => {
    const path = join(dir, 'x.owjob');
    const { bytes, entries } = chainOf(wholeJob().slice(0, 6));
    await writeFile(path, bytes.subarray(0, -1));
    expect(verifyRecord(bytes.subarray(0, -1)).departures).toMatchObject([{ code: 'record.unended', line: 6 }]);
    const record = await JobRecord.resume(path);
    await record.close();
    const read = await readRecord(path);
    expect(read.entries.slice(0, 6)).toEqual(entries);
    expect(read.state.recovered).toMatchObject([{ file: null, bytes: 0 }]);
    expect(verifyRecord(read.bytes).ok).toBe(true);
  });
});

describe('listing jobs', () => {
  test('tells each record of a folder, the latest first, with what is wrong with it', async () => {
    const first = await JobRecord.create(dir, { ...opening, job: 'a', ticket: 'T-1' }, { clock });
    await first.close();
    const whole = chainOf(wholeJob(), Date.UTC(2032, 0, 1)).bytes;
    await writeFile(join(dir, 'b.owjob'), whole);
    await writeFile(join(dir, 'c.owjob'), whole.subarray(0, whole.length - 9));
    await writeFile(join(dir, 'd.owjob'), '');
    await writeFile(join(dir, 'notes.txt'), 'no record');
    const jobs = await listJobs(dir, clock());
    expect(jobs.map(({ path }) => path.slice(-7))).toEqual(['b.owjob', 'c.owjob', 'a.owjob', 'd.owjob']);
    expect(jobs[0]).toMatchObject({
      open: false,
      result: 'passed',
      proofs: 'held',
      trouble: null,
      guide: opening.guide.title,
    });
    expect(jobs[1]).toMatchObject({ open: true, trouble: expect.stringContaining('cut short') });
    expect(jobs[2]).toMatchObject({ open: true, result: 'inconclusive', ticket: 'T-1' });
    expect(jobs[3]).toMatchObject({ job: null, trouble: 'holds no whole entry' });
  });

  test('is empty where there is no folder', async () => {
    expect(await listJobs(join(dir, 'none'), clock())).toEqual([]);
  });
});
