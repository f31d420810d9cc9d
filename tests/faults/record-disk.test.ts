import { beforeEach, describe, expect, test } from 'vitest';
import { parseRecord } from '../../src/record/chain/parse-record.ts';
import type { LockSelf } from '../../src/record/store/lock-holder.ts';
import { JobRecord } from '../../src/record/store/record.ts';
import { verifyRecord } from '../../src/verify/verify.ts';
import { type DiskFault, type DiskOperation, MemoryDisk } from '../support/memory-disk.ts';
import { captured, opening, probe, proofs, refusal } from '../support/sample-job.ts';

const path = '/jobs/a.owjob';
const self: LockSelf = { pid: 1, host: 'bench', process: null, look: () => 'gone' };

let disk: MemoryDisk;
const deps = () => ({ disk, self, clock: () => 0 });
const create = () => JobRecord.create('/jobs', { ...opening, job: 'a' }, deps());
beforeEach(() => {
  disk = new MemoryDisk();
});

/** The next operation of this name meets the fault, those after it are sound again. */
function once(name: DiskOperation['name'], fault: DiskFault, on = path): void {
  disk.fault = (operation) => {
    if (operation.name !== name || operation.path !== on) return null;
    disk.fault = () => null;
    return fault;
  };
}

describe('creating a record', () => {
  test('syncs the first entry and then the folder before it resolves', async () => {
    await create();
    const own = disk.log.filter((line) => line.endsWith(' a.owjob') || line.endsWith(' jobs'));
    expect(own).toEqual([
      'makeDir jobs',
      'open a.owjob',
      'look a.owjob',
      'write a.owjob',
      'datasync a.owjob',
      'open jobs',
      'sync jobs',
      'close jobs',
    ]);
  });

  test.each<[DiskOperation['name'], string, string, RegExp]>([
    ['makeDir', '/jobs', 'EACCES', /cannot make the folder for .* permission denied/],
    ['open', path, 'EACCES', /cannot create .* permission denied/],
    ['open', path, 'EROFS', /mounted read-only/],
    ['write', path, 'ENOSPC', /NOT captured.*the disk is full/],
    ['datasync', path, 'EIO', /NOT captured.*the disk reports an error/],
    ['sync', '/jobs', 'EIO', /cannot sync the folder/],
  ])('that fails at %s of %s by %s says so and leaves neither record nor lock', async (name, on, code, message) => {
    once(name, { errno: code }, on);
    const error = await create().then(
      () => null,
      (e: unknown) => e,
    );
    expect(error).toMatchObject({
      code: expect.stringMatching(/^record\./),
      message: expect.stringMatching(message),
    });
    expect((error as { help: string }).help).not.toBe('');
    expect([...disk.files.keys()]).toEqual([]);
    await create();
  });
});

describe('an append', () => {
  test('is one write of the whole line and then a sync of the data', async () => {
    const record = await create();
    disk.log.length = 0;
    await record.append(captured('spring', 0.4));
    expect(disk.log).toEqual(['look a.owjob', 'write a.owjob', 'datasync a.owjob']);
  });

  test.each<[string, DiskOperation['name'], DiskFault, RegExp]>([
    ['the disk fills up', 'write', { errno: 'ENOSPC' }, /the disk is full/],
    ['the disk fills up in the middle of the line', 'write', { takes: 100, errno: 'ENOSPC' }, /the disk is full/],
    ['a write takes a part without a word', 'write', { takes: 100 }, /the disk is full/],
    ['a write takes nothing', 'write', { takes: 0 }, /the disk is full/],
    ['the quota is used up', 'write', { errno: 'EDQUOT' }, /quota/],
    ['the disk fails', 'write', { errno: 'EIO' }, /the disk reports an error/],
    ['the sync fails', 'datasync', { errno: 'EIO' }, /cannot sync .*the disk reports an error/],
    ['the file can no longer be looked at', 'look', { errno: 'EIO' }, /cannot look at/],
  ])('that fails because %s is not captured, and ends the record for this writer', async (_, name, fault, message) => {
    const record = await create();
    for (const entry of [probe(), ...proofs('opening')]) await record.append(entry);
    const before = record.state;
    once(name, fault);
    const error = await refusal(record.append(captured('spring', 0.4)), 'record.not-captured');
    expect(error.message).toMatch(/^capture of spring is NOT captured/);
    expect(error.message).toMatch(message);
    expect(record.state).toBe(before);

    const left = disk.files.get(path)!;
    const broken = await refusal(record.append({ kind: 'note', text: 'more' }), 'record.broken');
    expect(broken.message).toContain('NOT captured');
    // it repairs nothing and writes nothing
    expect(disk.files.get(path)).toBe(left);
    await record.close();

    const again = await JobRecord.resume(path, deps());
    const whole = parseRecord(left).lines.length;
    expect(whole).toBeGreaterThanOrEqual(4);
    await again.append(captured('spring', 0.4, again.state.checks.spring!.attempts.length + 1));
    await again.close();
    const report = verifyRecord(disk.files.get(path)!);
    expect(report.departures).toEqual([]);
  });

  test('of the closing entry that could not be synced leaves the job open, as was said', async () => {
    const record = await create();
    once('datasync', { errno: 'EIO' });
    await refusal(record.closeJob('done'), 'record.not-captured');
    await record.close();
    expect(parseRecord(disk.files.get(path)!).lines.map(({ entry }) => entry.kind)).toEqual(['opened']);
    const again = await JobRecord.resume(path, deps());
    expect(again.state.closed).toBeNull();
    await again.closeJob('done');
    await again.close();
    expect(verifyRecord(disk.files.get(path)!).departures).toEqual([]);
  });

  test('that waits behind a failed one is refused too', async () => {
    const record = await create();
    once('write', { takes: 10 });
    const all = await Promise.allSettled([1, 2, 3].map((i) => record.append({ kind: 'note', text: `${i}` })));
    expect(all.map(({ status }) => status)).toEqual(['rejected', 'rejected', 'rejected']);
    expect(parseRecord(disk.files.get(path)!).lines).toHaveLength(1);
  });
});

describe('resuming', () => {
  test.each<[DiskOperation['name'], string, RegExp]>([
    ['read', 'EACCES', /cannot read .* permission denied/],
    ['open', 'EACCES', /cannot write to .* permission denied/],
    ['write', 'ENOSPC', /NOT captured.*the disk is full/],
  ])('that fails at %s by %s says so, gives the lock back and can be tried again', async (name, code, message) => {
    const first = await create();
    await first.close();
    once(name, { errno: code });
    await expect(JobRecord.resume(path, deps())).rejects.toThrow(message);
    expect([...disk.files.keys()]).toEqual([path]);
    const again = await JobRecord.resume(path, deps());
    await again.close();
    expect(verifyRecord(disk.files.get(path)!).ok).toBe(true);
  });

  test('says that it cannot lock where it must not write', async () => {
    const first = await create();
    await first.close();
    disk.fault = ({ name, path: on }) => (name === 'open' && on.includes('.lock') ? { errno: 'EACCES' } : null);
    await expect(JobRecord.resume(path, deps())).rejects.toThrow(/cannot lock the record .* permission denied/);
  });
});
