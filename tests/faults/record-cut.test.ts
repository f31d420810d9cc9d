import { describe, expect, test } from 'vitest';
import { parseRecord } from '../../src/record/chain/parse-record.ts';
import type { LockSelf } from '../../src/record/store/lock-holder.ts';
import { JobRecord } from '../../src/record/store/record.ts';
import { verifyRecord } from '../../src/verify/verify.ts';
import { MemoryDisk } from '../support/memory-disk.ts';
import { captured, chainOf, opened, probe, refusal } from '../support/sample-job.ts';

const path = '/jobs/a.owjob';
const self: LockSelf = { pid: 1, host: 'bench', process: null, look: () => 'gone' };
const { bytes, lines } = chainOf([opened, probe(), captured('spring', 0.4), { kind: 'note', text: 'a é b' }]);

function diskWith(content: Uint8Array): MemoryDisk {
  const disk = new MemoryDisk();
  disk.files.set(path, Buffer.from(content));
  return disk;
}

function tornFiles(disk: MemoryDisk): Buffer[] {
  return [...disk.files].filter(([name]) => name.includes('.torn-')).map(([, content]) => content);
}

describe('a record cut at every byte', { timeout: 120_000 }, () => {
  test('is resumed with all its whole entries, what was torn is kept, and appending goes on', async () => {
    for (let cut = 0; cut <= bytes.length; cut += 1) {
      const disk = diskWith(bytes.subarray(0, cut));
      const before = parseRecord(bytes.subarray(0, cut));
      if (before.lines.length === 0) {
        // the opening never stood whole, so no job was ever said to be open
        await refusal(JobRecord.resume(path, { disk, self }), 'record.empty');
        continue;
      }
      const record = await JobRecord.resume(path, { disk, self, clock: () => 0 });
      await record.append({ kind: 'note', text: 'after' });
      await record.close();
      const after = parseRecord(disk.files.get(path)!);
      expect(after.lines.slice(0, before.lines.length)).toEqual(before.lines);
      expect(after.lines.at(-1)?.entry).toMatchObject({ kind: 'note', text: 'after' });
      expect(verifyRecord(disk.files.get(path)!).departures).toEqual([]);
      const kept = tornFiles(disk);
      expect(Buffer.concat(kept)).toEqual(Buffer.from(before.torn?.bytes ?? []));
      expect(record.state.recovered).toHaveLength(before.torn !== null || before.unended ? 1 : 0);
    }
  });
});

describe('a recovery that is itself cut short at any of its steps', () => {
  const cut = bytes.length - Math.floor(lines[3]!.length / 2);
  const torn = Buffer.from(bytes.subarray(bytes.length - lines[3]!.length, cut));

  test('loses neither a whole entry nor the torn end', async () => {
    let steps = 0;
    for (let step = 1; ; step += 1) {
      const disk = diskWith(bytes.subarray(0, cut));
      let done = 0;
      // from this step on nothing works any more, as in a power cut; a write gets half of its bytes out
      disk.fault = ({ name }) => {
        done += 1;
        if (done < step) return null;
        return name === 'write' && done === step ? { takes: 20, errno: 'EIO' } : { errno: 'EIO' };
      };
      const failed = await JobRecord.resume(path, { disk, self, clock: () => 0 }).then(
        () => false,
        () => true,
      );
      steps = done;
      disk.fault = () => null;
      if (!failed) break;
      const again = await JobRecord.resume(path, { disk, self, clock: () => 0 });
      await again.close();
      const parsed = parseRecord(disk.files.get(path)!);
      expect(parsed.lines.slice(0, 3).map(({ entry }) => entry.kind)).toEqual(['opened', 'probe', 'capture']);
      expect(verifyRecord(disk.files.get(path)!).departures).toEqual([]);
      // whole in one file at least, and every file is told of
      expect(tornFiles(disk).some((content) => content.equals(torn))).toBe(true);
      const told = again.state.recovered.map(({ file }) => file);
      const beside = [...disk.files.keys()]
        .filter((name) => name.includes('.torn-'))
        .map((name) => name.slice('/jobs/'.length));
      expect(told).toEqual(expect.arrayContaining(beside));
    }
    expect(steps).toBeGreaterThan(10);
  });
});
