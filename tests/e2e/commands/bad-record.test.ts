// Records that are damaged, closed, held or not to be had: exit 6 with the line, and never a byte changed.
import { readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { beforeEach, describe, expect, test } from 'vitest';
import { JobRecord } from '../../../src/record/store/record.ts';
import { cli } from '../../support/command-line.ts';
import { ranRecord } from '../../support/ran-record.ts';
import { scratch, shortGuide } from '../../support/scratch.ts';

let cwd: string;
beforeEach(async () => {
  cwd = scratch();
});

/** Turns one bit of a byte in the middle of a line (counted from 1). */
function flipBit(path: string, line: number, bit: number): void {
  const bytes = readFileSync(path);
  let start = 0;
  for (let at = 1; at < line; at++) start = bytes.indexOf(10, start) + 1;
  const end = bytes.indexOf(10, start);
  const middle = (start + end) >> 1;
  bytes.writeUInt8(bytes.readUInt8(middle) ^ (1 << bit), middle);
  writeFileSync(path, bytes);
}

interface Report {
  ok: boolean;
  departures: { line: number; code: string }[];
}

describe('a record with one flipped bit', () => {
  test.each([1, 4, 8, 12])(
    'in line %i: verify finds the line, exit 6; resume refuses; the file stays as it is',
    async (line) => {
      const path = await ranRecord(cwd, 'flipped.owjob');
      flipBit(path, line, line % 7);
      const before = readFileSync(path);
      const { code, terminal } = await cli(cwd, ['verify', path, '--json']);
      expect(code).toBe(6);
      const [report] = terminal.json as [Report];
      expect(report.ok).toBe(false);
      expect(report.departures.map((departure) => departure.line)).toContain(line);
      expect((await cli(cwd, ['show', path])).code).toBe(6);
      const resumed = await cli(cwd, ['run', '--resume', path, '--order', 'guide', '--port', 'sim:']);
      expect(resumed.code).toBe(6);
      expect(resumed.terminal.errorCode).toBe('record.damaged');
      expect(readFileSync(path).equals(before)).toBe(true);
      expect(readdirSync(cwd)).toEqual(['flipped.owjob']);
    },
  );

  test('beside a good one: verify tells both, exit 6', async () => {
    const [bad, fine] = [await ranRecord(cwd, 'bad.owjob'), await ranRecord(cwd, 'fine.owjob')];
    flipBit(bad, 5, 3);
    const { code, terminal } = await cli(cwd, ['verify', fine, bad]);
    expect(code).toBe(6);
    expect(terminal.outLines[0]).toContain(`${fine}: verified`);
    const at = terminal.outLines.findIndex((line) => line.startsWith(`${bad}: NOT verified`));
    expect(at).toBeGreaterThan(0);
    expect(terminal.outLines.slice(at).join('\n')).toContain('line 5');
  });

  test.each([[], ['--chain-only']])(
    'one that is not there keeps nobody from the others, exit 6 (%s)',
    async (...how) => {
      const fine = await ranRecord(cwd, 'fine.owjob');
      const { code, terminal } = await cli(cwd, ['verify', ...how, 'none.owjob', fine, '--json']);
      expect(code).toBe(6);
      expect(terminal.said).toContain('none.owjob');
      expect(terminal.json).toMatchObject([
        { file: 'none.owjob', ok: false },
        { file: fine, ok: true },
      ]);
    },
  );

  test('or none at all: verify says so in one line; a key that is none is refused with exit 2', async () => {
    const other = join(cwd, 'other.owjob');
    writeFileSync(other, 'one\ntwo\nthree\n');
    const { code, terminal } = await cli(cwd, ['verify', other]);
    expect(code).toBe(6);
    expect(terminal.outLines).toHaveLength(3);
    for (const key of ['', cwd, other]) {
      const refused = await cli(cwd, ['verify', other, '--key', key]);
      expect(refused.code).toBe(2);
      expect(refused.terminal.errorCode).toBe('usage.key');
    }
  });
});

describe('a record that', () => {
  test('is closed is not resumed: exit 6', async () => {
    const path = await ranRecord(cwd, 'closed.owjob');
    const before = readFileSync(path);
    const { code, terminal } = await cli(cwd, ['run', '--resume', path, '--order', 'guide', '--port', 'sim:']);
    expect(code).toBe(6);
    expect(terminal.errorCode).toBe('record.closed');
    expect(readFileSync(path).equals(before)).toBe(true);
  });

  test('another writer holds is not resumed: exit 6, the holder is named, and the lock stays', async () => {
    const path = join(cwd, 'held.owjob');
    await cli(
      cwd,
      ['run', shortGuide, '--order', 'guide', '--port', 'sim:', '--revision', 'A', '--record', path],
      (terminal) => {
        terminal.onSaid = (line) => {
          if (line.includes('Wire from end')) terminal.interrupt();
        };
      },
    );
    const holder = await JobRecord.resume(path);
    const { code, terminal } = await cli(cwd, ['run', '--resume', path, '--order', 'guide', '--port', 'sim:']);
    expect(code).toBe(6);
    expect(terminal.errorCode).toBe('record.locked');
    expect(readdirSync(cwd).sort()).toEqual(['held.owjob', 'held.owjob.lock']);
    await holder.close();
    expect((await cli(cwd, ['run', '--resume', path, '--order', 'guide', '--port', 'sim:'])).code).toBe(0);
  });

  test('is missing, empty or no record at all: its name, exit 6', async () => {
    const empty = join(cwd, 'empty.owjob');
    writeFileSync(empty, '');
    const refused = [
      [join(cwd, 'none.owjob'), 'record.missing'],
      [empty, 'record.empty'],
      [shortGuide, 'record.damaged'],
    ] as const;
    for (const [path, error] of refused) {
      for (const args of [
        ['verify', path],
        ['show', path],
        ['run', '--resume', path, '--order', 'guide', '--port', 'sim:'],
      ]) {
        const { code, terminal } = await cli(cwd, args);
        expect(`${args[0]} ${path} ${code}`).toBe(`${args[0]} ${path} 6`);
        if (args[0] === 'run') expect(terminal.errorCode).toBe(error);
      }
    }
  });

  test('exists already is not written over by a new job: exit 6', async () => {
    const path = await ranRecord(cwd, 'there.owjob');
    const before = readFileSync(path);
    const { code } = await cli(cwd, [
      'run',
      shortGuide,
      '--order',
      'guide',
      '--port',
      'sim:',
      '--revision',
      'A',
      '--record',
      path,
    ]);
    expect(code).toBe(6);
    expect(readFileSync(path).equals(before)).toBe(true);
  });

  test('was cut short is resumed: the torn end is set aside and told of', async () => {
    const path = await ranRecord(cwd, 'torn.owjob');
    const whole = readFileSync(path);
    // as a power cut leaves it: in the middle of the second last line
    const lastLine = whole.lastIndexOf(10, whole.length - 2);
    const cut = whole.subarray(0, (whole.lastIndexOf(10, lastLine - 1) + lastLine) >> 1);
    writeFileSync(path, cut);
    expect((await cli(cwd, ['verify', path])).code).toBe(6);
    const { code, terminal } = await cli(cwd, [
      'run',
      '--resume',
      path,
      '--order',
      'guide',
      '--port',
      'sim:',
      '--json',
    ]);
    expect(code).toBe(0);
    expect(terminal.json).toMatchObject({ result: 'passed' });
    expect(readdirSync(cwd).sort()).toEqual(['torn.owjob', 'torn.owjob.torn-1']);
    expect((await cli(cwd, ['verify', path])).code).toBe(0);
  });
});

describe('the jobs folder', () => {
  test('with a damaged record lists it with its trouble, exit 6', async () => {
    const path = await ranRecord(cwd, 'bad.owjob');
    flipBit(path, 3, 2);
    const { code, terminal } = await cli(cwd, ['jobs', '--jobs', cwd, '--json']);
    expect(code).toBe(6);
    const [job] = terminal.json as [{ trouble: string | null; verified: boolean }];
    expect(job.trouble).toContain('line 3');
    expect(job.verified).toBe(false);
  });

  test('that is a file: its name, exit 6', async () => {
    const { code, terminal } = await cli(cwd, ['jobs', '--jobs', shortGuide, '--json']);
    expect(code).toBe(6);
    expect(terminal.json).toMatchObject([{ path: shortGuide, verified: false }]);
  });
});
