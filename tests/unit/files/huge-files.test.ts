// A hundred megabytes in place of each file that comes from elsewhere: refused in a sentence, and in bounded memory.
import { closeSync, openSync, readdirSync, truncateSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { beforeAll, describe, expect, test } from 'vitest';
import { mostBytes } from '../../../src/files/file-kinds.ts';
import { parseRecord } from '../../../src/record/chain/parse-record.ts';
import { verifyRecord } from '../../../src/verify/verify.ts';
import { cli } from '../../support/command-line.ts';
import { scratch, shortGuide } from '../../support/scratch.ts';
import { forgery, keptRecord, type RawEntry } from '../verify/forged.ts';

const huge = 100 * 1024 * 1024;

let folder: string;
let path: string;
const record = fileURLToPath(new URL('../../fixtures/records/format-1-gap.owjob', import.meta.url));

beforeAll(() => {
  folder = scratch();
  path = join(folder, 'huge.owjob');
  // holes only: nothing is on the disk
  closeSync(openSync(path, 'w'));
  truncateSync(path, huge);
});

describe('a file of a hundred megabytes', () => {
  test('is more than a file that is read whole may have', () => {
    const {
      record: ofRecord,
      guide,
      key,
      calibration,
      settings,
      'resistor set': set,
      'table of values': table,
    } = mostBytes;
    for (const most of [ofRecord, guide, key, calibration, settings, set, table]) expect(most).toBeLessThan(huge);
  });

  test.each([
    ['a record', () => ['verify', path], 6],
    ['a record to show', () => ['show', path], 6],
    ['a record to go on with', () => ['run', '--port', 'sim:', '--resume', path], 6],
    ['a guide', () => ['guide', 'check', path], 2],
    ['a guide of a job', () => ['run', path, '--port', 'sim:'], 2],
    ['a calibration', () => ['verify', record, '--calibration', path], 2],
    ['points of a calibration', () => ['calibrate', 'fit', path], 2],
    ['a resistor set', () => ['calibrate', '--set', path, '--port', 'sim:'], 2],
    ['a table of readings', () => ['limits', shortGuide, csv()], 2],
  ])('as %s is refused unread, in a sentence and with its exit code', async (_what, args, exit) => {
    const { code, terminal } = await cli(folder, args());
    expect(code).toBe(exit);
    const said = [...terminal.saidLines, ...terminal.outLines];
    expect(said.filter((line) => /larger than \d+ [KM]iB/.test(line))).toHaveLength(1);
    expect(said.length).toBeLessThanOrEqual(3);
  });

  test('as a key is no key', async () => {
    expect((await cli(folder, ['verify', record, '--key', path])).code).toBe(2);
  });

  test('as the index of a folder is not believed: the records are read', async () => {
    const jobs = scratch();
    writeFileSync(join(jobs, 'one.owjob'), keptRecord('format-1-gap'));
    const before = await cli(jobs, ['jobs', '--jobs', jobs, '--json']);
    for (const name of indexNames(jobs)) truncateSync(join(jobs, name), huge);
    const after = await cli(jobs, ['jobs', '--jobs', jobs, '--json']);
    expect([after.code, after.terminal.json]).toEqual([before.code, before.terminal.json]);
  });
});

describe('a record as long as it may be', () => {
  test('of nothing but line ends is given up after some of them', () => {
    const { damage } = parseRecord(Buffer.alloc(mostBytes.record, '\n'));
    expect(damage.length).toBeLessThan(20_000);
  });

  test('of nothing but notes is folded in place: no list is copied at every entry', () => {
    const many = 8_000;
    const note = (at: unknown): RawEntry => ({ at, kind: 'note', text: 'x' }) as RawEntry;
    const bytes = forgery(keptRecord('format-1-gap'), ([opened, probe]) => [
      opened!,
      probe!,
      ...Array.from({ length: many }, () => note(probe!.at)),
    ]);
    expect(verifyRecord(bytes)).toMatchObject({ entries: many + 2, departures: [] });
  });
});

function csv(): string {
  const table = join(folder, 'huge.csv');
  closeSync(openSync(table, 'w'));
  truncateSync(table, huge);
  return table;
}

function indexNames(jobs: string): string[] {
  return readdirSync(jobs).filter((name) => !name.endsWith('.owjob'));
}
