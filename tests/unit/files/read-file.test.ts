import { execFileSync } from 'node:child_process';
import { mkdir, symlink, truncate, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { beforeAll, describe, expect, test } from 'vitest';
import { type FileKind, mostBytes } from '../../../src/files/file-kinds.ts';
import { readForeignFile, readForeignFileSync, readForeignText } from '../../../src/files/read-file.ts';
import { openBenchKey } from '../../../src/record/signing/bench-key.ts';
import { readRecord } from '../../../src/record/store/read-record.ts';
import { cli } from '../../support/command-line.ts';
import { scratch } from '../../support/scratch.ts';

let folder: string;
let fifo: string;

beforeAll(async () => {
  folder = scratch();
  fifo = join(folder, 'pipe');
  execFileSync('mkfifo', [fifo]);
});

describe('a file from elsewhere', () => {
  test('is read whole', async () => {
    const path = join(folder, 'whole');
    await writeFile(path, 'ä\n');
    expect(await readForeignText(path, 'script')).toBe('ä\n');
    expect(readForeignFileSync(path, 'key').bytes.toString()).toBe('ä\n');
    const link = join(folder, 'link');
    await symlink(path, link);
    expect(await readForeignText(link, 'guide')).toBe('ä\n');
  });

  test('is no pipe, no device and no folder: none of them is waited for or read', async () => {
    await mkdir(join(folder, 'inner'), { recursive: true });
    const toZero = join(folder, 'to-zero');
    await symlink('/dev/zero', toZero);
    for (const path of [fifo, '/dev/zero', '/dev/tty', toZero, join(folder, 'inner')]) {
      await expect(readForeignFile(path, 'record'), path).rejects.toMatchObject({ code: 'file.not-regular' });
      expect(() => readForeignFileSync(path, 'key'), path).toThrow(
        expect.objectContaining({ code: 'file.not-regular' }),
      );
    }
  });

  test.each(Object.keys(mostBytes) as FileKind[])('that is larger than a %s may be is refused unread', async (kind) => {
    const path = join(folder, 'large');
    await writeFile(path, '');
    // holes only: nothing is on the disk
    await truncate(path, mostBytes[kind] + 1);
    await expect(readForeignFile(path, kind)).rejects.toMatchObject({ code: 'file.too-large' });
  });

  test('that is not there is told as such', async () => {
    await expect(readForeignFile(join(folder, 'none'), 'guide')).rejects.toMatchObject({ code: 'file.missing' });
  });
});

describe('a pipe or a device in place of', () => {
  test.each([
    ['a guide', ['guide', 'check'], 2],
    ['a record to show', ['show'], 6],
    ['a record to verify', ['verify'], 6],
    ['points', ['calibrate', 'fit'], 2],
    ['a byte log', ['replay'], 2],
    ['a record to go on with', ['run', '--port', 'sim:', '--resume'], 6],
  ])('%s ends at once with one sentence and its exit code', async (_what, args, exit) => {
    for (const path of [fifo, '/dev/zero']) {
      const { code, terminal } = await cli(folder, [...args, path]);
      expect(code).toBe(exit);
      expect(terminal.saidLines.length).toBeLessThanOrEqual(2);
    }
  });

  test('a key, as the bench key and as the one to verify by', async () => {
    expect(() => openBenchKey(fifo)).toThrow(expect.objectContaining({ code: 'record.disk' }));
    const record = join(folder, 'none.owjob');
    expect((await cli(folder, ['verify', record, '--key', fifo])).code).toBe(2);
  });

  test('a record that is read', async () => {
    await expect(readRecord(fifo)).rejects.toMatchObject({ code: 'record.disk' });
  });
});
