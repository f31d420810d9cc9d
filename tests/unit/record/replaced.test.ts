// A record that is deleted, replaced, linked or written to while its job goes on: the next entry is refused, and the job never
// ends as done. On the real disk.
import { copyFile, link, mkdir, open, readFile, rename, rm, symlink, writeFile } from 'node:fs/promises';
import { dirname, join } from 'node:path';
import { beforeEach, describe, expect, test } from 'vitest';
import { JobRecord } from '../../../src/record/store/record.ts';
import { captured, opening, probe, proofs, refusal } from '../../support/sample-job.ts';
import { scratch } from '../../support/scratch.ts';

let dir: string;
beforeEach(() => {
  dir = scratch();
});

async function begun(): Promise<JobRecord> {
  const record = await JobRecord.create(join(dir, 'jobs'), opening);
  for (const entry of [probe(), ...proofs('opening'), captured('spring', 0.4)]) await record.append(entry);
  return record;
}

const meddling: [string, (path: string) => Promise<unknown>][] = [
  ['deleted', (path) => rm(path)],
  ['deleted with its folder', (path) => rm(dirname(path), { recursive: true })],
  ['moved away', (path) => rename(path, `${path}.old`)],
  [
    'replaced by a copy of itself',
    async (path) => {
      await copyFile(path, `${path}.copy`);
      await rename(`${path}.copy`, path);
    },
  ],
  [
    'in a folder that was replaced',
    async (path) => {
      const bytes = await readFile(path);
      await rename(dirname(path), `${dirname(path)}.old`);
      await mkdir(dirname(path));
      await writeFile(path, bytes);
    },
  ],
  ['given a second name', (path) => link(path, `${path}.too`)],
  ['emptied', (path) => writeFile(path, '')],
  ['written to', (path) => writeFile(path, 'x', { flag: 'a' })],
];

describe('a record in mid-job', () => {
  test.each(meddling)('that is %s takes no entry more', async (_what, meddle) => {
    const record = await begun();
    await meddle(record.path);
    await refusal(record.append(captured('spring', 0.4, 2)), 'record.changed');
    await refusal(record.append({ kind: 'note', text: 'and now?' }), 'record.broken');
    await record.close();
  });

  test.each(meddling)('that is %s is never closed as done', async (_what, meddle) => {
    const record = await begun();
    await meddle(record.path);
    await refusal(record.closeJob('done'), 'record.changed');
    await record.close();
  });

  test('whose bytes were changed at the same length is found when the job ends', async () => {
    const record = await begun();
    const bytes = await readFile(record.path);
    bytes[bytes.indexOf('"outcome":"pass"') + 11]! ^= 1;
    const file = await open(record.path, 'r+');
    await file.write(bytes, 0, bytes.length, 0);
    await file.close();
    await refusal(record.closeJob('done'), 'record.changed');
    await record.close();
  });

  test('is held by its lock under a symbolic link as well', async () => {
    const record = await begun();
    const other = join(dir, 'other.owjob');
    await symlink(record.path, other);
    await refusal(JobRecord.resume(other), 'record.locked');
    await record.close();
    const resumed = await JobRecord.resume(other);
    await refusal(JobRecord.resume(record.path), 'record.locked');
    await resumed.close();
  });

  test('is not opened while it has two names', async () => {
    const record = await begun();
    await record.close();
    const other = join(dir, 'other.owjob');
    await link(record.path, other);
    const before = await readFile(record.path);
    for (const path of [record.path, other]) await refusal(JobRecord.resume(path), 'record.linked');
    expect(await readFile(record.path)).toEqual(before);
  });
});
