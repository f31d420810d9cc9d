import { readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { beforeAll, describe, expect, test } from 'vitest';
import { verifyWhole } from '../../../src/verify/conclusions/verify-conclusions.ts';
import { cli } from '../../support/command-line.ts';
import { scratch } from '../../support/scratch.ts';

let cwd: string;
let folders: string[];
beforeAll(async () => {
  cwd = scratch();
  const shop = join(cwd, 'shop');
  const { code } = await cli(cwd, ['ledger', 'example', shop, '--make', '3', '--benches', '2']);
  expect(code).toBe(0);
  folders = readdirSync(shop).map((bench) => join(shop, bench));
}, 240_000);

const recordsOf = (folder: string) =>
  readdirSync(folder)
    .filter((name) => name.endsWith('.owjob'))
    .map((name) => readFileSync(join(folder, name)));

describe('the jobs of an invented shop', { timeout: 120_000 }, () => {
  test('verify like any other, are signed, and are marked as emulated', () => {
    const reports = folders.flatMap(recordsOf).map((bytes) => verifyWhole(bytes));
    expect(reports.map(({ verdict }) => verdict)).toEqual(['holds', 'holds', 'holds']);
    expect(reports.map(({ signature }) => signature.state)).toEqual(['holds', 'holds', 'holds']);
    for (const bytes of folders.flatMap(recordsOf))
      expect(bytes.subarray(0, 4000).includes('"emulated":true')).toBe(true);
  });

  test('go into a ledger once, which holds them and tells the history of each unit', async () => {
    const ask = async (...args: string[]) => {
      const { code, terminal } = await cli(cwd, ['ledger', ...args, '--json']);
      return { code, data: terminal.json as Record<string, unknown>[] };
    };
    const first = await ask('add', ...folders);
    expect(first.code).toBe(0);
    expect(first.data.map(({ put, verified }) => [put, verified])).toEqual(Array(3).fill(['new', true]));
    const again = await ask('add', ...folders);
    expect(again.data.map(({ put }) => put)).toEqual(['known', 'known', 'known']);
    expect(await ask('check')).toEqual({ code: 0, data: [] });
    const [bytes] = recordsOf(folders[0]!);
    const { device, job } = JSON.parse(bytes!.toString('utf8').split('\n')[0]!).body as {
      device: { serial: string };
      job: string;
    };
    expect((await ask('history', device.serial, '--with-emulated')).data).toMatchObject([
      { job, verified: true, emulated: true },
    ]);
    expect((await ask('history', device.serial)).data).toEqual([]);
  });

  test('a record that was changed is put aside, and the exit code says so', async () => {
    const [bytes] = recordsOf(folders[0]!);
    const changed = join(cwd, 'changed.owjob');
    writeFileSync(changed, bytes!.toString('utf8').replace('"person"', '"button"').replace('"option"', '"button"'));
    const { code, terminal } = await cli(cwd, ['ledger', 'add', changed, '--json']);
    expect(code).toBe(6);
    expect(terminal.json).toMatchObject([{ put: 'aside', verified: false, code: 'line.hash' }]);
  });
});
