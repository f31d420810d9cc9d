import { readdirSync } from 'node:fs';
import { readFile, writeFile } from 'node:fs/promises';
import { dirname, join } from 'node:path';
import { describe, expect, test } from 'vitest';
import { currentIsolationRules } from '../../../src/isolate/rules/rules.ts';
import { currentRules } from '../../../src/record/entries/rules.ts';
import { JobRecord } from '../../../src/record/store/record.ts';
import { verifyWhole } from '../../../src/verify/conclusions/verify-conclusions.ts';
import { ruleSetOf } from '../../../src/verify/rules.ts';
import { cli } from '../../support/command-line.ts';
import { refusal } from '../../support/sample-job.ts';
import { scratch } from '../../support/scratch.ts';
import { forgery, keptRecord, type RawEntry, rawEntries } from './forged.ts';

const repaired = keptRecord('format-1-repaired');
const withOpened = (change: Record<string, unknown>, bytes = repaired) =>
  forgery(bytes, (entries) => entries.map((entry) => (entry.kind === 'opened' ? { ...entry, ...change } : entry)));

describe('the rules that a record was made by', () => {
  test('are 1 where the record names none', () => {
    expect(verifyWhole(repaired)).toMatchObject({ ok: true, verifiable: true, rules: [1] });
    expect(verifyWhole(withOpened({ rules: 1 }))).toMatchObject({ ok: true, rules: [1] });
  });

  test('can each be worked out, those of today included', () => {
    for (let rules = 1; rules <= currentRules; rules++) expect(ruleSetOf(rules)).not.toBeNull();
    expect(ruleSetOf(currentRules + 1)).toBeNull();
  });

  test('have one number in the record and in isolation', () => {
    expect(currentIsolationRules.number).toBe(currentRules);
  });

  test('leave a kept record of each number', () => {
    const folder = new URL('../../fixtures/records/', import.meta.url);
    const kept = readdirSync(folder).flatMap((name) => verifyWhole(keptRecord(name.replace('.owjob', ''))).rules);
    for (let rules = 1; rules <= currentRules; rules++) expect(kept).toContain(rules);
  });

  test('that are not known leave a record neither good nor accused', () => {
    const report = verifyWhole(withOpened({ rules: 999 }));
    expect(report).toMatchObject({ ok: false, verifiable: false, rules: [999], departures: [] });
    expect(report.notes.map(({ code }) => code)).toContain('rules.unknown');
  });

  test('that are not known hide no broken chain', () => {
    const bytes = withOpened({ rules: 999 });
    bytes[bytes.indexOf('"kind":"power"') + 8]! ^= 1;
    const { ok, departures } = verifyWhole(bytes);
    expect(ok).toBe(false);
    expect(departures.map(({ code }) => code)).toContain('line.hash');
  });

  test('hold from each resume on', () => {
    const power = rawEntries(repaired).findIndex(({ kind }) => kind === 'power');
    const resumed = (rules: number): RawEntry => ({
      ...rawEntries(repaired)[power]!,
      kind: 'resumed',
      tool: 'x',
      rules,
    });
    const withResume = (rules: number) =>
      forgery(repaired, (entries) => {
        const { to: _, ...entry } = resumed(rules) as RawEntry & { to: unknown };
        return entries.toSpliced(power, 0, entry as RawEntry);
      });
    expect(verifyWhole(withResume(999))).toMatchObject({ ok: false, verifiable: false, rules: [1, 999] });
  });
});

describe('a record of a format to come', () => {
  test('is not verifiable, whatever its entries are like', () => {
    const bytes = forgery(repaired, (entries) =>
      entries.map((entry) =>
        entry.kind === 'opened' ? { ...entry, format: 99, more: 1 } : { ...entry, kind: `new-${entry.kind}` },
      ),
    );
    expect(verifyWhole(bytes)).toMatchObject({ ok: false, verifiable: false, departures: [] });
  });

  test('departs where its chain does not hold', () => {
    const bytes = withOpened({ format: 99 });
    bytes[bytes.length - 20]! ^= 1;
    expect(verifyWhole(bytes).departures).not.toEqual([]);
  });
});

describe('the program', () => {
  test('goes on with no job of rules that it does not know, and leaves the record as it is', async () => {
    const path = join(scratch(), 'a.owjob');
    const open = forgery(repaired, (entries) =>
      entries.flatMap((entry) =>
        entry.kind === 'closed' ? [] : entry.kind === 'opened' ? { ...entry, rules: 999 } : entry,
      ),
    );
    await writeFile(path, open);
    await refusal(JobRecord.resume(path), 'record.newer');
    expect(await readFile(path)).toEqual(open);
  });

  test.each([
    ['format-1-repaired as it is', repaired, 0],
    ['rules to come', withOpened({ rules: 999 }), 7],
    ['a format to come', withOpened({ format: 99 }), 7],
    ['another result', withOpened({ job: '../x' }), 6],
  ])('ends for a record of %s by its exit code, and names the rules', async (_name, bytes, exitCode) => {
    const path = join(scratch(), 'a.owjob');
    await writeFile(path, bytes);
    const { code, terminal } = await cli(dirname(path), ['verify', '--json', path]);
    expect(code).toBe(exitCode);
    expect(terminal.json).toMatchObject([verifyWhole(bytes)]);
  });
});

describe('a signature that is expected and not there', () => {
  const unsigned = forgery(repaired, () => undefined);

  test.each([
    ['a signed record with its key', repaired, 'MN2KrZavt40r1LA6jDbvmAcPogiG8kK8y1aYhJrXF0c=', 0],
    ['an unsigned record with a key', unsigned, 'MN2KrZavt40r1LA6jDbvmAcPogiG8kK8y1aYhJrXF0c=', 8],
    ['a signed record with another key', repaired, `${'A'.repeat(43)}=`, 6],
  ])('%s: its exit code', async (_name, bytes, key, exitCode) => {
    const path = join(scratch(), 'a.owjob');
    await writeFile(path, bytes);
    expect((await cli(dirname(path), ['verify', '--key', key, path])).code).toBe(exitCode);
  });
});
