// One way to name jobs in every command: a file, a folder, a name, a ticket, a serial number, or the latest.
import { mkdir } from 'node:fs/promises';
import { basename, join } from 'node:path';
import { beforeAll, describe, expect, test } from 'vitest';
import { localClock } from '../../../src/cli/places/local-time.ts';
import { namedJob, namedJobs } from '../../../src/cli/places/named-jobs.ts';
import { JobRecord } from '../../../src/record/store/record.ts';
import { cli } from '../../support/command-line.ts';
import { opening, refusal } from '../../support/sample-job.ts';
import { scratch } from '../../support/scratch.ts';

let cwd: string;
let jobs: string;
const surroundings = () => ({ env: {}, cwd, now: () => new Date(0) });
const found = async (...words: string[]) =>
  (await namedJobs(words, jobs, surroundings())).paths.map((path) => basename(path, '.owjob'));

async function openRecord(name: string, atMs: number, ticket: string, serial: string): Promise<void> {
  const told = { ...opening, ticket, device: { ...opening.device, serial } };
  const record = await JobRecord.create(jobs, told, { file: join(jobs, `${name}.owjob`), clock: () => atMs });
  await record.close();
}

beforeAll(async () => {
  cwd = scratch();
  jobs = join(cwd, 'jobs');
  await openRecord('a', Date.UTC(2031, 4, 17, 8), 'T-1', 'S-1');
  await openRecord('b', Date.UTC(2031, 4, 19, 22, 30), 'T-2', 'S-1');
  await openRecord('c', Date.UTC(2031, 4, 18, 8), 'T-2', 'S-3');
});

describe('a word that names jobs', () => {
  test('is a path of a record, a folder of records, or a name in the jobs folder', async () => {
    expect(await found(join(jobs, 'c.owjob'))).toEqual(['c']);
    expect(await found(jobs)).toEqual(['a', 'b', 'c']);
    expect(await found('b')).toEqual(['b']);
    expect(await found('b.owjob')).toEqual(['b']);
  });

  test('is a ticket or a serial number, whatever the case: all the jobs that have it', async () => {
    expect(await found('t-1')).toEqual(['a']);
    expect((await found('T-2')).sort()).toEqual(['b', 'c']);
    expect((await found('s-1')).sort()).toEqual(['a', 'b']);
  });

  test('is last: the job with the latest entry', async () => {
    expect(await found('last')).toEqual(['b']);
  });

  test('may stand beside others; none means the jobs folder, and each record comes once', async () => {
    expect(await found('a', 'T-2', jobs)).toHaveLength(3);
    expect(await found()).toEqual(['a', 'b', 'c']);
    expect((await namedJobs([], jobs, surroundings())).isWhole).toBe(true);
    expect((await namedJobs(['a'], jobs, surroundings())).isWhole).toBe(false);
    expect((await namedJobs(['a', jobs], jobs, surroundings())).isWhole).toBe(true);
  });

  test('that means several is refused where one is wanted, and they are named', async () => {
    expect(await namedJob('T-1', jobs, surroundings())).toBe(join(jobs, 'a.owjob'));
    const { message } = await refusal(namedJob('T-2', jobs, surroundings()), 'record.several');
    expect(message).toContain('b.owjob');
    expect(message).toContain('c.owjob');
  });

  test('that means nothing is an error with the nearest name', async () => {
    expect((await refusal(namedJobs(['T-11'], jobs, surroundings()), 'record.missing')).message).toContain("'T-1'");
    await refusal(namedJobs(['\u0000'], jobs, surroundings()), 'record.missing');
    await refusal(namedJobs([''], jobs, surroundings()), 'record.missing');
  });
});

describe('a jobs folder that is not there', () => {
  test.each([
    ['jobs'],
    ['health'],
    ['verify'],
    ['priors', '--guide', 'examples/field-recorder.yaml'],
    ['show', 'last'],
    ['export', 'last', '--as', 'tap'],
    ['report', 'last'],
    ['label', 'last'],
  ])('is an error of %s, not an empty shop', async (...args) => {
    const { code, terminal } = await cli(process.cwd(), [...args, '--jobs', join(cwd, 'typo')]);
    expect(code).toBe(6);
    // verify tells of each file, and ends with the worst
    expect(terminal.errorCode).toBe(args[0] === 'verify' ? null : 'record.missing');
    expect(terminal.outLines).toEqual([]);
  });

  test('is told apart from one that is empty', async () => {
    await mkdir(join(cwd, 'empty'));
    const { code, terminal } = await cli(cwd, ['jobs', '--jobs', join(cwd, 'empty'), '--json']);
    expect(code).toBe(0);
    expect(terminal.json).toEqual([]);
  });

  test('does not keep verify from the others', async () => {
    const { code, terminal } = await cli(cwd, ['verify', 'typo', 'a', '--jobs', jobs, '--json']);
    expect(code).toBe(6);
    const reports = terminal.json as { file: string; ok: boolean }[];
    expect(reports.map(({ file, ok }) => [basename(file), ok])).toEqual([
      ['typo', false],
      ['a.owjob', true],
    ]);
  });
});

describe('the clock here', () => {
  // Vienna is two hours before UTC in May: common practice, no source
  test('decides which day an entry is of', async () => {
    const inVienna = async (...args: string[]) => {
      const { terminal } = await cli(cwd, ['jobs', '--jobs', jobs, '--json', ...args], (at) => {
        at.env.TZ = 'Europe/Vienna';
      });
      return (terminal.json as { path: string }[]).map(({ path }) => basename(path, '.owjob'));
    };
    expect(await inVienna('--since', '2031-05-20')).toEqual(['b']);
    expect(await inVienna('--until', '2031-05-19')).toEqual(['c', 'a']);
  });

  test('is that of the zone, summer time and all', () => {
    const vienna = localClock({ env: { TZ: 'Europe/Vienna' } });
    expect(vienna.time('2031-01-01T23:30:15.000Z')).toBe('2031-01-02 00:30:15');
    expect(vienna.time('2031-07-01T22:00:00.000Z')).toBe('2031-07-02 00:00:00');
    expect(localClock({ env: { TZ: 'Asia/Kathmandu' } }).time('2031-01-01T00:00:00Z')).toBe('2031-01-01 05:45:00');
  });

  test("is the system's where TZ holds no name", () => {
    expect(localClock({ env: { TZ: 'no-zone-1' } }).zone).toBe(localClock({ env: {} }).zone);
  });
});
