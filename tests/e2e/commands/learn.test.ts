// A guide learned on the emulated probe, through its firmware, from a device that is not built as the table says: and then a fault found by it.
import { readFile, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import { killProgramsAfterwards, ran } from '../../support/program.ts';
import { scratch } from '../../support/scratch.ts';

killProgramsAfterwards();

const table = 'tests/fixtures/guides/recorder-table.yaml';
const device = ['--port', 'sim:', '--device', 'examples/field-recorder.yaml', '--accept-cautions', 'all'];

describe('learn', { timeout: 60_000 }, () => {
  test('writes a sound guide from a good unit, by which a fault is found', async () => {
    const folder = scratch();
    const guide = join(folder, 'learned.yaml');
    const jobs = ['--jobs', join(folder, 'jobs')];
    const learned = await ran(['learn', table, guide, ...device, ...jobs, '--seed', '5', '--json']);
    expect(learned.ending.code).toBe(0);
    const { record, doubts, touches } = JSON.parse(learned.out.all.join('\n'));
    expect(doubts).toEqual([]);
    expect(touches).toBeLessThanOrEqual(50);
    expect((await ran(['verify', record])).ending.code).toBe(0);
    expect((await ran(['guide', 'check', guide])).ending.code).toBe(0);
    const found = await ran(['run', guide, ...device, ...jobs, '--seed', '9', '--fault', 'trace-a=open', '--json']);
    expect(found.ending.code).toBe(1);
    const { concluded } = JSON.parse(found.out.all.join('\n'));
    expect(concluded.decisions.map(({ id }: { id: string }) => id)).toEqual(['jack-board']);
    const again = join(folder, 'again.yaml');
    const closed = await ran(['learn', table, again, ...device, ...jobs, '--resume', record]);
    expect(closed.ending.code).toBe(0);
    expect(await readFile(again, 'utf8')).toBe(await readFile(guide, 'utf8'));
  });

  test('writes none from a unit that was not good, and names the link', async () => {
    const folder = scratch();
    const guide = join(folder, 'learned.yaml');
    const bad = await ran([
      'learn',
      table,
      guide,
      ...device,
      '--jobs',
      folder,
      '--fault',
      'plug-a=high:2ohm',
      '--json',
    ]);
    expect(bad.ending.code).toBe(3);
    const { doubts, guideText: written } = JSON.parse(bad.out.all.join('\n'));
    expect(doubts).toMatchObject([{ code: 'learn.high', about: ['connector-a-jack-board-main-board'] }]);
    expect(written).toBeNull();
    await expect(readFile(guide)).rejects.toMatchObject({ code: 'ENOENT' });
  });

  test('refuses what is no table, and a sitting by another one', async () => {
    const folder = scratch();
    const long = await ran(['learn', 'tests/fixtures/guides/field-recorder.yaml', ...device]);
    expect([long.ending.code, long.said.all.join('\n')]).toEqual([2, expect.stringContaining('has no table')]);
    const other = join(folder, 'other.yaml');
    await writeFile(other, (await readFile(table, 'utf8')).replace('minutes: 12', 'minutes: 13'));
    const args = ['--jobs', join(folder, 'jobs')];
    const sat = await ran(['learn', table, ...device, ...args, '--json']);
    const { record } = JSON.parse(sat.out.all.join('\n'));
    expect((await ran(['learn', other, ...device, ...args, '--resume', record])).ending.code).toBe(2);
  });
});
