import { writeFileSync } from 'node:fs';
import { copyFile, readFile } from 'node:fs/promises';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { readRecord } from '../../../src/record/store/read-record.ts';
import { cli } from '../../support/command-line.ts';
import { scratch, shortGuide } from '../../support/scratch.ts';

test('a guide that changes while a job is being opened: the record holds what was read first, once and for all', async () => {
  const cwd = scratch();
  const guide = join(cwd, 'guide.yaml');
  const record = join(cwd, 'job.owjob');
  await copyFile(shortGuide, guide);
  const before = await readFile(guide, 'utf8');
  const args = ['start', guide, '--port', 'sim:', '--order', 'guide', '--revision', 'A', '--record', record];
  let looks = 0;
  const { code } = await cli(cwd, args, (terminal) => {
    // whether there is a screen is asked between the reading of the guide and the opening of the job
    Object.defineProperty(terminal, 'screen', {
      get: () => {
        looks += 1;
        writeFileSync(guide, 'no guide any more');
        return null;
      },
    });
  });
  expect(looks).toBeGreaterThan(0);
  expect(code).toBe(0);
  const { state } = await readRecord(record);
  expect(state.opened?.guide.text).toBe(before);
});
