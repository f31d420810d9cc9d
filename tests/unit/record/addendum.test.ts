// A closed job is added to: a span of its own behind the closing entry, closed and signed once more.
import { mkdtemp, readFile, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import { parseRecord } from '../../../src/record/chain/parse-record.ts';
import type { NewEntry } from '../../../src/record/entries/entries.ts';
import { openBenchKey } from '../../../src/record/signing/bench-key.ts';
import { BenchSeries } from '../../../src/record/signing/bench-series.ts';
import { repairsNow } from '../../../src/record/state/addendum.ts';
import { evidenceByRepair, historyOf } from '../../../src/record/state/evidence-history.ts';
import { closingEntry } from '../../../src/record/state/job-result.ts';
import { type Added, JobRecord } from '../../../src/record/store/record.ts';
import { verifyRecord } from '../../../src/verify/verify.ts';
import { verifySeries } from '../../../src/verify/verify-series.ts';
import { cli } from '../../support/command-line.ts';
import {
  captured,
  chainOf,
  observation,
  opened,
  opening,
  presses,
  probe,
  proofs,
  refusal,
  stateOf,
} from '../../support/sample-job.ts';

const addendum = (what: Added['what']): NewEntry => ({
  kind: 'addendum',
  format: 2,
  rules: 2,
  tool: 'ohmwright of a test',
  what,
  why: 'the spring arrived',
});
const closing = (...entries: NewEntry[]): NewEntry[] => [...entries, closingEntry(stateOf(entries), 'done')];
const fitted: NewEntry = {
  kind: 'repair',
  what: 'repair',
  repair: 'spring',
  unit: null,
  text: 'fit a new spring',
  by: 'person',
};
const failedSpring = [captured('spring', 100), presses('key', [0.2, 0.2, 0.2]), observation('lens', 'no')];
const goodAfter: NewEntry[] = [
  captured('spring', 0.4, 2, { phase: 'after' }),
  { ...presses('key', [0.2, 0.2, 0.2], 2), phase: 'after' },
  { ...observation('lens', 'no', 2), phase: 'after' },
];
const failedJob = closing(opened, probe(), ...proofs('opening'), ...failedSpring, ...proofs('closing'));

describe('an addendum that is given up', () => {
  const givenUp: NewEntry = { ...closingEntry(stateOf(failedJob), 'no part', { abandoned: true }), proofs: 'missing' };

  test('before anything was done leaves the result that the job had', () => {
    const { result, closed } = stateOf([...failedJob, addendum('continued'), probe(), givenUp]);
    expect([result, closed?.result]).toEqual(['failed', 'abandoned']);
    expect(stateOf([...failedJob, addendum('returned'), givenUp]).result).toBe('abandoned');
  });

  test.each([
    ['a repair', fitted],
    ['a check', goodAfter[0]!],
    ['a skip', { kind: 'skipped', check: 'spring', reason: 'no time', by: 'person' } as NewEntry],
  ])('after %s leaves none', (_what, done) => {
    expect(stateOf([...failedJob, addendum('continued'), probe(), done, givenUp]).result).toBe('abandoned');
  });
});

describe('a job that is added to', () => {
  test('is open again, keeps what stands, and takes no proof of that day for one of today', () => {
    const state = stateOf([...failedJob, addendum('continued')]);
    expect(state).toMatchObject({ closed: null, signed: null, power: null, cautions: [], result: 'failed' });
    expect(state.proofs.opening).toEqual({});
    const again = stateOf([...failedJob, addendum('continued'), probe(), fitted, ...goodAfter, ...proofs('closing')]);
    expect(again.spans.at(-1)).toMatchObject({ opening: {}, standing: 'missing' });
    expect(again.result).toBe('inconclusive');
  });

  test('comes to repaired when the part is fitted and everything passes between proofs of the new day', () => {
    const state = stateOf([
      ...failedJob,
      addendum('continued'),
      probe(),
      ...proofs('opening'),
      fitted,
      ...goodAfter,
      ...proofs('closing'),
    ]);
    expect(state.result).toBe('repaired');
    expect(historyOf(state)).toMatchObject({ repaired: [{ repair: 'spring', after: 3 }] });
  });

  test('rests on nothing from before when the device came back', () => {
    const repaired = closing(
      opened,
      probe(),
      ...proofs('opening'),
      ...failedSpring,
      fitted,
      ...goodAfter,
      ...proofs('closing'),
    );
    expect(stateOf(repaired).result).toBe('repaired');
    const state = stateOf([...repaired, addendum('returned')]);
    expect(state).toMatchObject({ result: 'inconclusive', returned: { repairs: 1 }, concluded: null });
    expect(repairsNow(state)).toEqual([]);
    expect(evidenceByRepair(state)).toEqual([[]]);
    expect(historyOf(state)).toEqual({ evidence: [], repaired: [] });
    // what is measured now stands before any repair of this visit, and a fail of the visit before repairs nothing
    const seen = stateOf([
      ...repaired,
      addendum('returned'),
      probe(),
      ...proofs('opening'),
      captured('spring', 0.4, 3),
      presses('key', [0.2, 0.2, 0.2], 3),
      observation('lens', 'no', 3),
      ...proofs('closing'),
    ]);
    expect(seen.result).toBe('passed');
    expect(historyOf(seen).evidence).toHaveLength(3);
  });
});

describe('verify', () => {
  const added = [
    ...failedJob,
    addendum('continued'),
    probe(),
    ...proofs('opening'),
    fitted,
    ...goodAfter,
    ...proofs('closing'),
  ];
  const codesOf = (entries: NewEntry[]) => verifyRecord(chainOf(entries).bytes).departures.map(({ code }) => code);

  test('holds each closing against the entries before it', () => {
    const whole = closing(...added);
    expect(codesOf(whole)).toEqual([]);
    expect(verifyRecord(chainOf(whole).bytes)).toMatchObject({ result: 'repaired' });
    const claims = (at: number) =>
      whole.map((entry, i) => (i === at && entry.kind === 'closed' ? { ...entry, result: 'passed' as const } : entry));
    expect(codesOf(claims(failedJob.length - 1))).toEqual(['closed.result']);
    expect(codesOf(claims(whole.length - 1))).toEqual(['closed.result']);
  });

  test('finds entries between a closing and an addendum, an addendum to an open job, and one without a probe', () => {
    expect(codesOf([...failedJob, { kind: 'note', text: 'late' }, addendum('continued')])).toEqual(['order.closed']);
    expect(codesOf([opened, addendum('continued')])).toEqual(['order.addendum']);
    expect(codesOf([...failedJob, addendum('continued'), captured('spring', 0.4, 2)])).toEqual(['evidence.probe']);
  });

  test('finds a phase that goes on over the return of the device', () => {
    const repaired = closing(...added);
    expect(codesOf([...repaired, addendum('returned'), probe(), captured('spring', 0.4, 3)])).toEqual([]);
    const wrong = captured('spring', 0.4, 3, { phase: 'after' });
    expect(codesOf([...repaired, addendum('returned'), probe(), wrong])).toEqual(['flow.phase']);
  });
});

describe('the record on disk', () => {
  let dir: string;
  beforeEach(async () => {
    dir = await mkdtemp(join(tmpdir(), 'ohmwright-addendum-'));
  });
  afterEach(() => rm(dir, { recursive: true, force: true }));
  const keyPath = () => join(dir, 'bench-key.pem');
  const series = () => new BenchSeries(keyPath(), openBenchKey(keyPath()).publicKey);
  const why: Added = { what: 'returned', why: 'the key does nothing again' };

  async function closedJob(): Promise<string> {
    const record = await JobRecord.create(dir, opening, { series: series() });
    await record.closeJob('done', { key: openBenchKey(keyPath()) });
    await record.close();
    return record.path;
  }

  test('is signed once more, and each signature is looked at', async () => {
    const path = await closedJob();
    const before = await readFile(path);
    const record = await JobRecord.addTo(path, why, { series: series() });
    await record.closeJob('done', { key: openBenchKey(keyPath()) });
    await record.close();
    const bytes = await readFile(path);
    expect(bytes.subarray(0, before.length)).toEqual(before);
    const report = verifyRecord(bytes, { expectedKey: openBenchKey(keyPath()).publicKey });
    expect(report).toMatchObject({ departures: [], signature: { state: 'holds' } });
    expect(report.signatures.map(({ state }) => state)).toEqual(['holds', 'holds']);
  });

  test('has to be signed by the bench that added to it, at its end', async () => {
    const path = await closedJob();
    const record = await JobRecord.addTo(path, why, { series: series() });
    await record.closeJob('done', { key: openBenchKey(join(dir, 'another.pem')) });
    await record.close();
    expect(verifyRecord(await readFile(path)).departures.map(({ code }) => code)).toEqual(['signature.bench']);
    const unsigned = await closedJob();
    const open = await JobRecord.addTo(unsigned, why, { series: series() });
    await open.closeJob('done');
    await open.close();
    expect(verifyRecord(await readFile(unsigned)).verdict).toBe('not-signed');
  });

  test('shows a hole among the records of the bench when an addendum was cut off', async () => {
    const first = await closedJob();
    const before = parseRecord(await readFile(first)).lines;
    const record = await JobRecord.addTo(first, why, { series: series() });
    await record.closeJob('done', { key: openBenchKey(keyPath()) });
    await record.close();
    const second = await closedJob();
    const lines = parseRecord(await readFile(second)).lines;
    const codes = (firstLines: typeof lines) =>
      verifySeries([
        { file: first, lines: firstLines },
        { file: second, lines },
      ]).flatMap(({ code, isDeparture }) => (isDeparture ? code : []));
    expect(codes(parseRecord(await readFile(first)).lines)).toEqual([]);
    expect(codes(before)).toEqual(['series.hole']);
  });

  test('is not added to while the job is open, and can be gone on with when the addendum was left open', async () => {
    const record = await JobRecord.create(dir, opening);
    await record.close();
    await refusal(JobRecord.addTo(record.path, why), 'record.open');
    const path = await closedJob();
    await (await JobRecord.addTo(path, why)).close();
    await refusal(JobRecord.addTo(path, why), 'record.open');
    const again = await JobRecord.resume(path);
    expect(again.state).toMatchObject({ closed: null, addenda: [why] });
    await again.close();
  });

  test('that was closed and not signed, by a crash, is signed by whoever resumes it; what was torn is set aside', async () => {
    const record = await JobRecord.create(dir, opening, { series: series() });
    await record.closeJob('done');
    await record.close();
    const closedBytes = await readFile(record.path);
    await writeFile(record.path, Buffer.concat([closedBytes, Buffer.from('{"body":{"at":"20')]));
    await refusal(JobRecord.resume(record.path), 'record.closed');
    const finished = await JobRecord.finish(record.path, openBenchKey(keyPath()), { series: series() });
    await finished.close();
    expect(verifyRecord(await readFile(record.path))).toMatchObject({
      verdict: 'holds',
      signature: { state: 'holds' },
    });
    await refusal(JobRecord.finish(record.path, openBenchKey(keyPath())), 'record.closed');
    // the file that was set aside is told of by the next who writes
    const added = await JobRecord.addTo(record.path, why, { series: series() });
    expect(added.state.recovered).toHaveLength(1);
    await added.close();
  });

  test('is finished by the command that goes on with a job', async () => {
    const record = await JobRecord.create(dir, opening, { series: series() });
    await record.closeJob('done');
    await record.close();
    const asBench = (args: string[]) =>
      cli(dir, args, ({ env }) => {
        env.OHMWRIGHT_KEY = keyPath();
      });
    expect((await cli(dir, ['verify', record.path])).code).toBe(8);
    expect((await asBench(['run', '--resume', record.path, '--port', 'nowhere'])).code).toBe(3);
    expect((await cli(dir, ['verify', record.path])).code).toBe(0);
    expect((await asBench(['run', '--resume', record.path, '--port', 'nowhere'])).code).not.toBe(0);
  });
});
