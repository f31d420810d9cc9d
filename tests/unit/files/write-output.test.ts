import { execFileSync } from 'node:child_process';
import {
  chmodSync,
  linkSync,
  mkdirSync,
  readdirSync,
  readFileSync,
  statSync,
  symlinkSync,
  writeFileSync,
} from 'node:fs';
import { join } from 'node:path';
import { beforeEach, describe, expect, test } from 'vitest';
import { safeName } from '../../../src/files/safe-name.ts';
import { openOutput, writeOutput } from '../../../src/files/write-output.ts';
import { scratch } from '../../support/scratch.ts';

const record = new URL('../../../examples/field-recorder.owjob', import.meta.url);
let folder: string;
const at = (name: string): string => join(folder, name);

beforeEach(async () => {
  folder = scratch();
});

/** Both ways to write, as one. */
const ways = [
  ['whole', (path: string, text: string, force = false) => writeOutput(path, text, { force })],
  [
    'as it comes',
    (path: string, text: string, force = false) => {
      const output = openOutput(path, { force });
      output.write(text.slice(0, 1));
      output.write(text.slice(1));
      output.close();
    },
  ],
] as const;

describe.each(ways)('an output that is written %s', (_way, write) => {
  test('is there, alone, with all its bytes', () => {
    write(at('a.csv'), 'a,b\n');
    expect(readFileSync(at('a.csv'), 'utf8')).toBe('a,b\n');
    expect(readdirSync(folder)).toEqual(['a.csv']);
  });

  test('takes no place that is taken, unless it is forced to, and keeps its rights then', () => {
    writeFileSync(at('a.csv'), 'before');
    chmodSync(at('a.csv'), 0o640);
    expect(() => write(at('a.csv'), 'after')).toThrow(expect.objectContaining({ code: 'output.exists' }));
    expect(readFileSync(at('a.csv'), 'utf8')).toBe('before');
    write(at('a.csv'), 'after', true);
    expect(readFileSync(at('a.csv'), 'utf8')).toBe('after');
    expect(statSync(at('a.csv')).mode & 0o777).toBe(0o640);
    expect(readdirSync(folder)).toEqual(['a.csv']);
  });

  test('never takes the place of a record, by its name, its content, or a link that leads to it', () => {
    const bytes = readFileSync(record);
    writeFileSync(at('job.owjob'), bytes);
    writeFileSync(at('renamed.html'), bytes);
    symlinkSync(at('job.owjob'), at('soft.csv'));
    linkSync(at('job.owjob'), at('hard.csv'));
    writeFileSync(at('empty.owjob'), '');
    for (const name of ['job.owjob', 'renamed.html', 'soft.csv', 'hard.csv', 'empty.owjob'])
      for (const force of [false, true])
        expect(() => write(at(name), 'x', force), name).toThrow(expect.objectContaining({ code: 'output.record' }));
    expect(readFileSync(at('job.owjob'))).toEqual(bytes);
    expect(readFileSync(at('renamed.html'))).toEqual(bytes);
  });

  test('goes to what a link leads to, when it is forced to', () => {
    mkdirSync(at('inner'));
    writeFileSync(at('inner/real.csv'), 'before');
    symlinkSync(at('inner/real.csv'), at('link.csv'));
    write(at('link.csv'), 'after', true);
    expect(readFileSync(at('inner/real.csv'), 'utf8')).toBe('after');
  });

  test('is no pipe, no device and no folder', () => {
    execFileSync('mkfifo', [at('pipe')]);
    for (const path of [at('pipe'), '/dev/full', folder])
      expect(() => write(path, 'x', true), path).toThrow(expect.objectContaining({ code: 'output.not-regular' }));
  });

  test('says that its folder is not there', () => {
    expect(() => write(at('none/a.csv'), 'x')).toThrow(expect.objectContaining({ code: 'output.failed' }));
  });

  test('takes no name that a dangling link has', () => {
    symlinkSync(at('nowhere'), at('dangling'));
    expect(() => write(at('dangling'), 'x')).toThrow(expect.objectContaining({ code: 'output.exists' }));
    expect(readdirSync(folder)).toEqual(['dangling']);
  });
});

test('what is written as it comes stands under its name from the beginning', () => {
  const output = openOutput(at('log'));
  output.write('a');
  expect(readFileSync(at('log'), 'utf8')).toBe('a');
  output.close();
  output.close();
});

test.each([
  ['../../x', 'x'],
  ['a/b\\c', 'a-b-c'],
  ['.hidden', 'hidden'],
  ['..', 'unnamed'],
  ['', 'unnamed'],
  ['T 1\u001b[2J\n\u202e', 'T-1-2J'],
  ['field-recorder.v2', 'field-recorder.v2'],
  ['x'.repeat(300), 'x'.repeat(100)],
])('%j gives the safe name %s', (text, name) => {
  expect(safeName(text)).toBe(name);
});
