import { readdirSync, readFileSync, rmSync, unlinkSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { type Totals, totals } from '../../src/ledger/sql/questions.ts';
import { checkLedger } from '../../src/ledger-store/check-ledger.ts';
import { Ledger, type LedgerOptions } from '../../src/ledger-store/ledger.ts';
import { unitHistory } from '../../src/ledger-store/unit-history.ts';
import { type Disk, realDisk } from '../../src/record/store/disk.ts';
import { emptyDatabase, madeRecord } from '../support/ledgers.ts';
import { missingPostgres, startServer, type TestServer } from '../support/postgres.ts';
import { chainOf, opened, wholeJob } from '../support/sample-job.ts';
import { scratch } from '../support/scratch.ts';

let template: Blob;
let server: TestServer | null = null;
const noServer = missingPostgres();
beforeAll(async () => {
  template = await emptyDatabase();
  if (noServer === null) server = startServer(join(scratch(), 'server'));
}, 240_000);
afterAll(() => server?.stop('immediate'));

let databases = 0;
/** Runs work with a new ledger in a folder, on one of the engines. */
const engines = [
  { engine: 'embedded', options: (): LedgerOptions => ({ template }) },
  ...(noServer === null
    ? [{ engine: 'server', options: (): LedgerOptions => ({ database: server!.address(`ledger_${++databases}`) }) }]
    : []),
];

const clock = () => Date.UTC(2031, 5, 1);
const whole = madeRecord({ serial: 'qx-100' });

describe.each(engines)('a ledger on the $engine database', { timeout: 120_000 }, ({ options }) => {
  let ledger: Ledger;
  let folder: string;
  beforeAll(async () => {
    folder = scratch();
    ledger = await Ledger.open(folder, { ...options(), clock });
  }, 120_000);
  afterAll(() => ledger.close());
  const count = async (): Promise<Totals> => (await ledger.query<Totals>(totals()))[0]!;

  test('takes a record, and the same one again changes nothing', async () => {
    expect(await ledger.take(whole)).toMatchObject({ put: 'new', counted: true, code: null });
    const before = await count();
    expect(await ledger.take(whole)).toMatchObject({ put: 'known', counted: true });
    expect(await count()).toEqual(before);
    expect(before).toMatchObject({ records: 1, counted: 1, quarantined: 0 });
  });

  test('follows a record that grows, in any order of its states', async () => {
    const state = (entries?: number) => madeRecord({ job: 'grows', ...(entries === undefined ? {} : { entries }) });
    expect(await ledger.take(state(9))).toMatchObject({ put: 'new', entries: 9 });
    expect(await ledger.take(state())).toMatchObject({ put: 'grown', counted: true });
    expect(await ledger.take(state(12))).toMatchObject({ put: 'known' });
    expect(await ledger.take(state())).toMatchObject({ put: 'known' });
    expect(await checkLedger(ledger)).toEqual([]);
  });

  test('a line that is being written is no part of a record yet', async () => {
    const torn = madeRecord({ job: 'under-way', entries: 9 });
    expect(await ledger.take(torn.subarray(0, -20))).toMatchObject({ put: 'new', entries: 8, counted: true });
    expect(await ledger.take(torn)).toMatchObject({ put: 'grown', entries: 9 });
  });

  test('puts a fork aside, and keeps what it has', async () => {
    await ledger.take(madeRecord({ job: 'forks', entries: 14 }));
    const forked = madeRecord({ job: 'forks', forkAt: 12 });
    expect(await ledger.take(forked)).toMatchObject({ put: 'aside', code: 'ledger.fork', counted: false });
    expect(await ledger.take(forked)).toMatchObject({ put: 'aside', code: 'ledger.fork' });
    expect(await count()).toMatchObject({ quarantined: 1 });
    expect(await ledger.take(madeRecord({ job: 'forks' }))).toMatchObject({ put: 'grown', counted: true });
  });

  test('puts a damaged record aside, and takes nothing that names no job', async () => {
    const damaged = Buffer.from(madeRecord({ job: 'damaged' }).toString('latin1').replace('two', 'owt'), 'latin1');
    damaged[damaged.indexOf(10, 4000) - 30]! ^= 1;
    expect(await ledger.take(damaged)).toMatchObject({
      put: 'aside',
      counted: false,
      code: expect.stringMatching(/^line\./),
    });
    expect(await ledger.take(Buffer.from('no record\n'))).toMatchObject({ put: 'none' });
    expect(await ledger.take(Buffer.alloc(0))).toMatchObject({ put: 'none', code: 'record.empty' });
  });

  test('keeps a record that does not verify, and counts it nowhere', async () => {
    const entries = wholeJob().map((entry) => {
      if (entry.kind === 'opened') return { ...entry, job: 'forged', device: { ...entry.device, serial: 'QX-200' } };
      return entry.kind === 'closed' ? { ...entry, result: 'repaired' as const } : entry;
    });
    const before = await count();
    expect(await ledger.take(chainOf(entries).bytes)).toMatchObject({ put: 'new', counted: false });
    expect(await count()).toMatchObject({ records: before.records + 1, counted: before.counted });
    expect(await unitHistory(ledger, 'QX-200', false)).toMatchObject([{ counted: false, verdict: 'departs' }]);
    expect(await checkLedger(ledger)).toEqual([]);
  });

  test('finds a unit by its serial number however it is written', async () => {
    for (const serial of ['QX-100', 'qx 100', ' QX\u2013100 ']) {
      const [job, ...others] = await unitHistory(ledger, serial, false);
      expect(others).toEqual([]);
      expect(job).toMatchObject({ job: '2031-05-17-abcdef', opened_at: '2031-05-17T08:00:00.000Z', counted: true });
    }
    expect(await unitHistory(ledger, '', false)).toEqual([]);
  });

  test('takes texts of any kind: zero characters, a hundred thousand letters, markup', async () => {
    const serial = `<script>\0${'\u{1F525}'.repeat(50_000)}`;
    const record = madeRecord({
      job: 'hostile',
      serial,
      technician: "'; drop table record; --",
      symptom: '\0'.repeat(9),
    });
    expect(await ledger.take(record)).toMatchObject({ put: 'new', counted: true });
    expect(await unitHistory(ledger, serial, false)).toMatchObject([{ technician: "'; drop table record; --" }]);
  });

  test('takes a job by a clock that is wrong by centuries, and says which ran ahead', async () => {
    const first = madeRecord({ job: 'year-0', startMs: Date.parse('0000-01-01T00:00:00Z') });
    expect(await ledger.take(first)).toMatchObject({ put: 'new', counted: true });
    const before = (await count()).ahead;
    expect(await ledger.take(madeRecord({ job: 'ahead', startMs: Date.UTC(2061, 0, 1) }))).toMatchObject({
      put: 'new',
    });
    expect((await count()).ahead).toBe(before + 1);
  });

  test('many at once are taken each once', async () => {
    const records = Array.from({ length: 12 }, (_, i) => madeRecord({ job: `bench-${i % 4}` }));
    const taken = await Promise.all(records.map((record) => ledger.take(record)));
    expect(taken.map(({ put }) => put).sort()).toEqual([...Array(8).fill('known'), ...Array(4).fill('new')]);
    expect(await checkLedger(ledger)).toEqual([]);
  });

  test('the same numbers come of its records when the database is made anew', async () => {
    const before = await count();
    await ledger.rebuild();
    expect(await count()).toEqual(before);
    expect(await checkLedger(ledger)).toEqual([]);
  });

  test('a record that is deleted behind it is told', async () => {
    const { record } = await ledger.take(madeRecord({ job: 'deleted' }));
    unlinkSync(ledger.records.pathOf(record!));
    const found = await checkLedger(ledger);
    expect(found.map(({ code }) => code).sort()).toEqual(['ledger.only-in-database', 'ledger.record-gone']);
    expect(await ledger.take(madeRecord({ job: 'deleted' }))).toMatchObject({ put: 'known' });
  });
});

describe('the folder of a ledger', { timeout: 120_000 }, () => {
  const open = (folder: string, options: LedgerOptions = {}): Promise<Ledger> =>
    Ledger.open(folder, { template, clock, ...options });

  test('holds no word of a customer', async () => {
    const folder = scratch();
    const ledger = await open(folder);
    const apart = { name: { salt: '0'.repeat(32), text: 'Vexelgrint' } };
    const [first, ...rest] = wholeJob();
    const { commitTo } = await import('../../src/record/entries/personal-data.ts');
    const { apart: words, commitments } = commitTo({ name: apart.name.text }, (bytes) => new Uint8Array(bytes));
    const { lines } = chainOf([first!, { kind: 'customer', commitments }, ...rest]);
    const { canonicalJson } = await import('../../src/record/chain/canonical.ts');
    const told = lines.map((line, i) =>
      i === 1 ? Buffer.from(`{"apart":${canonicalJson(words)},${line.toString().slice(1)}`) : line,
    );
    const bytes = Buffer.concat(told);
    expect(bytes.includes('Vexelgrint')).toBe(true);
    expect(await ledger.take(bytes)).toMatchObject({ put: 'new', counted: true });
    await ledger.close();
    const files = readdirSync(folder, { recursive: true, withFileTypes: true }).filter((entry) => entry.isFile());
    expect(files.length).toBeGreaterThan(10);
    const holding = files.filter(({ parentPath, name }) => readFileSync(join(parentPath, name)).includes('Vexelgrint'));
    expect(holding).toEqual([]);
  });

  test('is open in one process at a time', async () => {
    const folder = scratch();
    const ledger = await open(folder);
    await expect(open(folder)).rejects.toMatchObject({ code: 'ledger.locked' });
    await ledger.close();
    await (await open(folder)).close();
  });

  test.each([
    { name: 'closed well, another boot', closes: true, boot: 'second', rebuilt: [] },
    { name: 'not closed, the same boot', closes: false, boot: 'first', rebuilt: [] },
    { name: 'not closed, another boot', closes: false, boot: 'second', rebuilt: ['unclean'] },
    { name: 'not closed, no word of the boot', closes: false, boot: null, rebuilt: ['unclean'] },
  ])('is made anew only where something may be lost: $name', async ({ closes, boot, rebuilt }) => {
    const folder = scratch();
    const ledger = await open(folder, { boot: 'first' });
    await ledger.take(whole);
    await ledger.close();
    const state = join(folder, 'database.json');
    if (!closes) writeFileSync(state, readFileSync(state, 'utf8').replace('"closed":true', '"closed":false'));
    const why: string[] = [];
    const again = await open(folder, { boot, onRebuild: (reason) => why.push(reason) });
    expect(why).toEqual(rebuilt);
    expect((await again.query<Totals>(totals()))[0]).toMatchObject({ records: 1, counted: 1 });
    await again.close();
  });

  test('is made anew when its database can not be read, or is gone', async () => {
    const folder = scratch();
    const ledger = await open(folder);
    await ledger.take(whole);
    await ledger.close();
    const why: string[] = [];
    rmSync(join(folder, 'database', 'global'), { recursive: true });
    const second = await open(folder, { onRebuild: (reason) => why.push(reason) });
    await second.close();
    rmSync(join(folder, 'database'), { recursive: true });
    const third = await open(folder, { onRebuild: (reason) => why.push(reason) });
    expect((await third.query<Totals>(totals()))[0]).toMatchObject({ counted: 1 });
    await third.close();
    expect(why).toEqual(['unreadable', 'unclean']);
  });

  test('a full disk loses nothing: the record is not told as taken, and goes in when there is room', async () => {
    const folder = scratch();
    let isFull = true;
    const disk: Disk = {
      ...realDisk,
      async open(path, flags) {
        const file = await realDisk.open(path, flags);
        const full = async () => Promise.reject(Object.assign(new Error('full'), { code: 'ENOSPC' }));
        return isFull && path.includes('records') ? { ...file, write: full } : file;
      },
    };
    const ledger = await open(folder, { disk });
    await expect(ledger.take(whole)).rejects.toMatchObject({ code: 'ledger.disk' });
    expect((await ledger.query<Totals>(totals()))[0]).toMatchObject({ records: 0 });
    isFull = false;
    expect(await ledger.take(whole)).toMatchObject({ put: 'new', counted: true });
    expect(await checkLedger(ledger)).toEqual([]);
    await ledger.close();
    expect(opened.job).toBe('2031-05-17-abcdef');
  });
});
