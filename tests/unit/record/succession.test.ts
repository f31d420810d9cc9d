// A bench gets a new key: the old one has signed it, so that whoever knows one of them can check the records of both.
import { mkdtemp, readFile, rm, stat, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import { parseRecord } from '../../../src/record/chain/parse-record.ts';
import { openBenchKey, readSuccession } from '../../../src/record/signing/bench-key.ts';
import { BenchSeries } from '../../../src/record/signing/bench-series.ts';
import { renewBenchKey } from '../../../src/record/signing/renew-key.ts';
import { isSound, leadsTo } from '../../../src/record/signing/succession.ts';
import { JobRecord } from '../../../src/record/store/record.ts';
import { verifyRecord } from '../../../src/verify/verify.ts';
import { verifySeries } from '../../../src/verify/verify-series.ts';
import { cli } from '../../support/command-line.ts';
import { opening } from '../../support/sample-job.ts';
import { forgery, rawEntries } from '../verify/forged.ts';

let dir: string;
let keyPath: string;
beforeEach(async () => {
  dir = await mkdtemp(join(tmpdir(), 'ohmwright-succession-'));
  keyPath = join(dir, 'bench-key.pem');
});
afterEach(() => rm(dir, { recursive: true, force: true }));

const keyNow = () => openBenchKey(keyPath);
const series = () => new BenchSeries(keyPath, keyNow().publicKey);
const renew = () => renewBenchKey(keyPath, new Date('2031-01-01T00:00:00.000Z'));
const begun = () => JobRecord.create(join(dir, 'jobs'), opening, { series: series() });
async function closed(record: JobRecord): Promise<string> {
  await record.closeJob('done', { key: keyNow() });
  await record.close();
  return record.path;
}
const verdict = async (path: string, expectedKey: string) =>
  verifyRecord(await readFile(path), { expectedKey, successions: readSuccession(keyPath) }).departures.map(
    ({ code }) => code,
  );

describe('a new key', () => {
  test('is signed by the old one and signs back; the old one is kept, for its owner alone', async () => {
    const old = keyNow();
    const { key, oldPath } = await renew();
    expect(key.publicKey).not.toBe(old.publicKey);
    expect(openBenchKey(oldPath).publicKey).toBe(old.publicKey);
    expect((await stat(oldPath)).mode & 0o077).toBe(0);
    expect(key.succession).toMatchObject([{ from: old.publicKey, to: key.publicKey, last: null }]);
    expect(key.succession.every(isSound)).toBe(true);
    const third = (await renew()).key;
    expect(leadsTo(old.publicKey, third.publicKey, third.succession)).toBe(true);
    expect(leadsTo(third.publicKey, old.publicKey, third.succession)).toBe(false);
  });

  test('does not follow from a statement that one of the two did not sign, or that was changed', async () => {
    const [statement] = (await renew()).key.succession;
    const stranger = openBenchKey(join(dir, 'stranger.pem'));
    expect(isSound({ ...statement!, from: stranger.publicKey })).toBe(false);
    expect(isSound({ ...statement!, to: stranger.publicKey })).toBe(false);
    expect(isSound({ ...statement!, at: '2031-01-02T00:00:00.000Z' })).toBe(false);
    expect(isSound({ ...statement!, last: { series: '0'.repeat(16), number: 1, sha256: null } })).toBe(false);
    expect(isSound({ ...statement!, byTo: statement!.byFrom })).toBe(false);
  });
});

describe('the records before and after', () => {
  test('hold by the old key and by the new one, and by no stranger', async () => {
    const old = keyNow().publicKey;
    const first = await closed(await begun());
    const open = await begun();
    const { key } = await renew();
    const second = await closed(await begun());
    const between = await closed(open);
    for (const path of [first, second, between])
      for (const known of [old, key.publicKey]) expect(await verdict(path, known)).toEqual([]);
    const stranger = openBenchKey(join(dir, 'stranger.pem')).publicKey;
    expect(await verdict(second, stranger)).toEqual(['signature.other-key']);
    // the record alone leads from the old key to the new one
    expect(verifyRecord(await readFile(second), { expectedKey: old }).ok).toBe(true);
    expect(verifyRecord(await readFile(first), { expectedKey: key.publicKey }).ok).toBe(false);
  });

  test('are told by commands: key --renew, and verify --key with what key --json prints', async () => {
    const first = await closed(await begun());
    const asBench = (args: string[]) =>
      cli(dir, args, ({ env }) => {
        env.OHMWRIGHT_KEY = keyPath;
      });
    expect((await asBench(['key', '--renew'])).code).toBe(0);
    const told = join(dir, 'told.json');
    await writeFile(told, JSON.stringify((await asBench(['key', '--json'])).terminal.json));
    expect((await cli(dir, ['verify', first, '--key', told])).code).toBe(0);
    expect((await cli(dir, ['verify', first, '--key', keyNow().publicKey])).code).toBe(6);
  });

  test('make a new series, which says where the old one ended', async () => {
    const first = await closed(await begun());
    const lost = await closed(await begun());
    await renew();
    const third = await closed(await begun());
    const among = (...paths: string[]) =>
      Promise.all(paths.map(async (file) => ({ file, lines: parseRecord(await readFile(file)).lines })));
    const codes = async (...paths: string[]) =>
      verifySeries(await among(...paths)).flatMap(({ code, isDeparture }) => (isDeparture ? code : []));
    const [opened] = rawEntries(await readFile(third));
    expect(opened).toMatchObject({
      bench: { number: 1, begins: 'key-succeeded', succession: { last: { number: 2 } } },
    });
    expect(await codes(first, lost, third)).toEqual([]);
    expect(await codes(first, third)).toEqual(['series.hole']);
  });

  test('depart where what led to the key was exchanged', async () => {
    await renew();
    const path = await closed(await begun());
    const bytes = await readFile(path);
    const signed = rawEntries(bytes).find(({ kind }) => kind === 'signed')!;
    const without = forgery(bytes, (entries) => {
      const { succession: _, ...rest } = signed;
      return [...entries, rest as typeof signed];
    });
    expect(verifyRecord(without).departures.map(({ code }) => code)).toEqual(['signature.broken']);
  });
});
