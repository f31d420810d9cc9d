// Every command says of a record what `verify` says of it.
import { writeFile } from 'node:fs/promises';
import { dirname, join } from 'node:path';
import { describe, expect, test } from 'vitest';
import { cli } from '../../support/command-line.ts';
import { scratch } from '../../support/scratch.ts';
import { forgery, keptRecord } from './forged.ts';

const kept = keptRecord('format-1-repaired');
const changed = (change: object, kind: string) =>
  forgery(kept, (entries) => entries.map((entry) => (entry.kind === kind ? { ...entry, ...change } : entry)));

describe.each([
  ['holds', kept, 0],
  ['departs', changed({ text: 'Nothing to fear.' }, 'caution'), 6],
  ['not-verifiable', changed({ rules: 999 }, 'opened'), 7],
])('a record that %s', (verdict, bytes, exitCode) => {
  test.each([
    ['verify', ['verify', 'PATH']],
    ['show', ['show', 'PATH']],
    ['show --json', ['show', 'PATH', '--json']],
    ['jobs', ['jobs', '--jobs', 'FOLDER']],
    ['jobs --json', ['jobs', '--jobs', 'FOLDER', '--json']],
    ['report', ['report', 'PATH', '--out', 'FOLDER/a.html']],
    ['label', ['label', 'PATH']],
    ['export as JUnit', ['export', 'PATH', '--as', 'junit']],
    ['export as TAP', ['export', 'PATH', '--as', 'tap']],
    ['export as CSV', ['export', 'PATH', '--as', 'csv']],
  ])('%s ends by it', async (_name, words) => {
    const path = join(scratch(), 'a.owjob');
    const folder = dirname(path);
    await writeFile(path, bytes);
    const { code, terminal } = await cli(
      folder,
      words.map((word) => word.replace('PATH', path).replace('FOLDER', folder)),
    );
    expect(code).toBe(exitCode);
    if (words.includes('--json')) {
      const told = [terminal.json].flat()[0];
      expect(told).toMatchObject({ verdict, verified: exitCode === 0 });
    }
  });
});
