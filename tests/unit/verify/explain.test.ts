// Of each statement of a record: what it follows from, under which rules, and what came out.
import { writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import { verifyWhole } from '../../../src/verify/conclusions/verify-conclusions.ts';
import { type Explanation, explainRecord } from '../../../src/verify/explain/explain.ts';
import { cli } from '../../support/command-line.ts';
import { scratch } from '../../support/scratch.ts';
import { forgery, keptRecord, type RawEntry, rawEntries } from './forged.ts';

const kept = keptRecord('rules-2-repaired');
const explained = (bytes: Buffer): Explanation => explainRecord(bytes, verifyWhole(bytes));
const changed = (kind: string, change: (entry: RawEntry) => object) =>
  forgery(kept, (entries) => entries.map((entry) => (entry.kind === kind ? { ...entry, ...change(entry) } : entry)));

describe('an explanation', () => {
  const entries = rawEntries(kept);
  const numberOf = (kind: string) => entries.findIndex((entry) => entry.kind === kind) + 1;
  const { statements, others, restsOn } = explained(kept);

  test('has a statement for every entry that states something derived, each come to again by its rules', () => {
    const derived = [
      'opened',
      'probe',
      'caution',
      'proof',
      'levels',
      'capture',
      'concluded',
      'repair',
      'closed',
      'signed',
    ];
    const due = entries.flatMap(({ kind }, i) => (derived.includes(kind) ? [i + 1] : []));
    expect(statements.map(({ n }) => n)).toEqual(due);
    expect(statements.every(({ comes, rules }) => comes === 'same' && rules === 2)).toBe(true);
    expect(others).toEqual([]);
  });

  test('names the entries that each follows from', () => {
    const at = (n: number) => statements.find((one) => one.n === n);
    const [opened, probe, capture, concluded] = ['opened', 'probe', 'capture', 'concluded'].map(numberOf);
    expect(at(capture!)?.from).toEqual([opened, probe, capture]);
    expect(at(concluded!)?.from).toEqual([opened, ...(entries[concluded! - 1]!.evidence as number[])]);
    const closed = at(numberOf('closed'))!;
    expect(closed.from).toContain(numberOf('repair'));
    expect(closed.from).not.toContain(numberOf('caution'));
  });

  test('says what no verifier can work out, with the entries that rest on it', () => {
    expect(restsOn.map(({ what }) => what).sort()).toEqual(['clock', 'device', 'key', 'probe', 'repairs', 'tips']);
    expect(restsOn).toContainEqual({ what: 'repairs', from: [numberOf('repair')] });
  });

  test.each<[string, string, (entry: RawEntry) => object, string, unknown, unknown]>([
    ['an outcome', 'capture', () => ({ outcome: 'fail' }), 'derive.outcome', 'fail', 'pass'],
    ['a result', 'closed', () => ({ result: 'passed' }), 'closed.result', 'passed', 'repaired'],
    ['a phase', 'capture', () => ({ phase: 'after' }), 'flow.phase', 'after', 'before'],
    [
      'what is asked for',
      'levels',
      () => ({ factor: 1e9 }),
      'guide.asked',
      1e9,
      entries.find(({ kind }) => kind === 'levels')?.factor,
    ],
    ['a conclusion', 'concluded', () => ({ conclusion: 'open' }), 'derive.conclusion', 'open', 'fault'],
    [
      'a bound',
      'proof',
      () => ({ rule: { name: 'simple' } }),
      'proof.bounds',
      { name: 'simple' },
      entries.find(({ kind }) => kind === 'proof')?.rule,
    ],
  ])('of a departure says where, what stands and what is due: %s', (_what, kind, change, code, stands, due) => {
    const { statements: all } = explained(changed(kind, change));
    const departing = all.filter(({ comes }) => comes === 'other');
    expect(departing.flatMap(({ departures }) => departures)).toContainEqual(
      expect.objectContaining({ n: numberOf(kind), code, stands, due }),
    );
  });

  test('claims nothing under rules that it does not know', () => {
    const { statements: all } = explained(changed('opened', () => ({ rules: 999 })));
    expect(all.some(({ comes }) => comes === 'same')).toBe(false);
  });

  test('is in the lines of verify and, the same, in its JSON', async () => {
    const folder = scratch();
    const path = join(folder, 'a.owjob');
    await writeFile(path, kept);
    const { code, terminal } = await cli(folder, ['verify', path, '--explain', '--json']);
    expect(code).toBe(0);
    const [report] = terminal.json as { explanation: Explanation }[];
    expect(report!.explanation).toEqual(JSON.parse(JSON.stringify(explained(kept))));
    const lines = (await cli(folder, ['verify', path, '--explain'])).terminal.outLines;
    for (const { n } of statements) expect(lines.some((line) => line.includes(`entry ${n}: `))).toBe(true);
    expect((await cli(folder, ['verify', path, '--json'])).terminal.json).not.toHaveProperty('0.explanation');
  });
});
