import { readdir, readFile, rm, writeFile } from 'node:fs/promises';
import { hostname } from 'node:os';
import { join } from 'node:path';
import { beforeEach, describe, expect, test } from 'vitest';
import { type Disk, realDisk } from '../../../src/record/store/disk.ts';
import { takeLock } from '../../../src/record/store/lock.ts';
import { type LockHolder, type LockSelf, lockSelf } from '../../../src/record/store/lock-holder.ts';
import { JobRecord } from '../../../src/record/store/record.ts';
import { opening, refusal } from '../../support/sample-job.ts';
import { scratch } from '../../support/scratch.ts';

let dir: string;
let record: string;
beforeEach(() => {
  dir = scratch();
  record = join(dir, 'x.owjob');
});

const self: LockSelf = { pid: 100, host: 'bench', process: 'boot:1', look: () => 'alive' };
const holder: LockHolder = { pid: 77, host: 'bench', startedAt: '2031-05-17T08:00:00.000Z', process: 'boot:9' };
const put = (who: unknown) => writeFile(`${record}.lock`, typeof who === 'string' ? who : JSON.stringify(who));
const take = (who: LockSelf = self, disk: Disk = realDisk) => takeLock(disk, record, 0, who);

describe('the lock of a record', () => {
  test('says who holds it, and goes away with its holder', async () => {
    const lock = await take();
    expect(JSON.parse(await readFile(`${record}.lock`, 'utf8'))).toMatchObject({ pid: 100, host: 'bench' });
    const error = await refusal(take({ ...self, pid: 101 }), 'record.locked');
    for (const part of [self.host, new Date(0).toISOString()]) expect(error.message).toContain(part);
    expect(error.message).toMatch(/\b100\b/);
    expect(error.help).toContain(`${record}.lock`);
    await lock.release();
    expect(await readdir(dir)).toEqual([]);
    await (await take()).release();
  });

  test.each(['gone', 'other'] as const)('is taken over when its process is %s', async (look) => {
    await put(holder);
    const lock = await take({ ...self, look: () => look });
    expect(lock.tookOver).toEqual(holder);
    expect(await readdir(dir)).toEqual(['x.owjob.lock']);
    await lock.release();
  });

  test('is never taken over from another host, nor when nobody can say whose it is', async () => {
    const gone: LockSelf = { ...self, look: () => 'gone' };
    await put({ ...holder, host: 'elsewhere' });
    await refusal(take(gone), 'record.locked');
    for (const text of ['', '{', '{"pid":-1}']) {
      await put(text);
      expect((await refusal(take(gone), 'record.locked')).message).toContain('someone unknown');
    }
  });

  test('is put back when another process was faster to take it over', async () => {
    await put(holder);
    const faster: LockHolder = { ...holder, pid: 78 };
    const disk: Disk = {
      ...realDisk,
      async rename(from, to) {
        await put(faster);
        await realDisk.rename(from, to);
      },
    };
    const error = await refusal(
      take({ ...self, look: ({ pid }) => (pid === 77 ? 'gone' : 'alive') }, disk),
      'record.locked',
    );
    expect(error.message).toMatch(/\b78\b/);
    expect(JSON.parse(await readFile(`${record}.lock`, 'utf8'))).toEqual(faster);
    expect(await readdir(dir)).toEqual(['x.owjob.lock']);
  });

  test('works on a disk without hard links', async () => {
    const disk: Disk = {
      ...realDisk,
      link: () => Promise.reject(Object.assign(new Error('no links'), { code: 'EPERM' })),
    };
    const lock = await take(self, disk);
    await refusal(take(self, disk), 'record.locked');
    await lock.release();
    expect(await readdir(dir)).toEqual([]);
  });

  test('of someone else is left alone on release', async () => {
    const lock = await take();
    await put(holder);
    await lock.release();
    expect(JSON.parse(await readFile(`${record}.lock`, 'utf8'))).toEqual(holder);
  });
});

describe('this process as a holder', () => {
  test('is alive, a process number that never was is gone, one that began at another time is other', () => {
    const me = lockSelf();
    const now = { pid: me.pid, host: hostname(), startedAt: '', process: me.process };
    expect(me.look(now)).toBe('alive');
    // beyond the largest process number that Linux gives (2^22)
    expect(me.look({ ...now, pid: 2 ** 22 + 1 })).toBe('gone');
    if (me.process !== null) expect(me.look({ ...now, process: 'other boot:1' })).toBe('other');
  });
});

describe('two writers of one record', () => {
  test('are refused, in one process too', async () => {
    const first = await JobRecord.create(dir, opening);
    await refusal(JobRecord.resume(first.path), 'record.locked');
    await first.append({ kind: 'note', text: 'undisturbed' });
    await first.close();
    const second = await JobRecord.resume(first.path);
    await second.close();
  });

  test('that came about all the same are noticed before a byte is written', async () => {
    const first = await JobRecord.create(dir, opening);
    await rm(`${first.path}.lock`);
    const second = await JobRecord.resume(first.path);
    const before = await readFile(first.path);
    await refusal(first.append({ kind: 'note', text: 'mine' }), 'record.changed');
    await refusal(first.append({ kind: 'note', text: 'mine' }), 'record.broken');
    expect(await readFile(first.path)).toEqual(before);
    await first.close();
    await second.append({ kind: 'note', text: 'whole' });
    await second.close();
  });

  test('a stale lock that was taken over is told of in the record', async () => {
    const first = await JobRecord.create(dir, opening);
    await first.close();
    await writeFile(`${first.path}.lock`, JSON.stringify({ ...holder, host: hostname(), pid: 2 ** 22 + 1 }));
    const again = await JobRecord.resume(first.path);
    expect(again.state.notes[0]?.text).toContain(`${2 ** 22 + 1}`);
    await again.close();
  });
});
