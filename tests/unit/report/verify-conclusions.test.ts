import { readFile } from 'node:fs/promises';
import { join } from 'node:path';
import { beforeAll, describe, expect, test } from 'vitest';
import { parseRecord } from '../../../src/record/chain/parse-record.ts';
import { verifyWhole } from '../../../src/verify/conclusions/verify-conclusions.ts';
import { cli } from '../../support/command-line.ts';
import { chainOf } from '../../support/sample-job.ts';
import { scratch, shortGuide } from '../../support/scratch.ts';

let bytes: Buffer;
/** The same entries chained anew after a change, as by someone who knows how chains are made. */
function forged(change: (concluded: Record<string, unknown>, entry: Record<string, unknown>) => void): Buffer {
  const entries = parseRecord(bytes).lines.map(({ entry }) => {
    const { prev: _, n: __, at: ___, ...rest } = structuredClone(entry);
    change(rest.kind === 'concluded' ? rest : {}, rest);
    return rest;
  });
  return chainOf(entries.filter(({ kind }) => kind !== 'signed')).bytes;
}

const codesOf = (record: Buffer) => verifyWhole(record).departures.map(({ code }) => code);

beforeAll(async () => {
  const folder = scratch();
  const path = join(folder, 'a.owjob');
  await cli(folder, [
    'run',
    shortGuide,
    '--port',
    'sim:',
    '--revision',
    'A',
    '--record',
    path,
    '--fault',
    faultOfShortGuide,
  ]);
  bytes = await readFile(path);
}, 60_000);

const faultOfShortGuide = 'wire-a=open';

describe('verifying what a record concludes', () => {
  test('works the belief out again from the guide and the attempts', () => {
    const report = verifyWhole(bytes);
    expect(report.departures).toEqual([]);
    expect(parseRecord(bytes).lines.some(({ entry }) => entry.kind === 'concluded')).toBe(true);
  });

  test('finds a probability that does not follow, in a chain that holds', () => {
    const record = forged((concluded) => {
      const decisions = concluded.decisions as { p: number }[] | undefined;
      if (decisions?.[0] !== undefined) decisions[0].p *= 0.9;
    });
    expect(codesOf(record)).toEqual(['derive.conclusion']);
  });

  test('finds a fault that is blamed on something else', () => {
    const record = forged((concluded) => {
      const decisions = concluded.decisions as { id: string }[] | undefined;
      if (decisions?.[0] !== undefined) decisions[0].id = 'another-unit';
    });
    expect(codesOf(record)).toEqual(['derive.conclusion']);
  });

  test('finds it whatever version of the program is said to have concluded', () => {
    const record = forged((concluded, entry) => {
      if (entry.kind === 'opened') entry.tool = 'ohmwright 9.9.9';
      const decisions = concluded.decisions as { p: number }[] | undefined;
      if (decisions?.[0] !== undefined) decisions[0].p *= 0.9;
    });
    expect(codesOf(record)).toEqual(['derive.conclusion']);
  });

  test('finds attempts that were judged by other limits or another rule than those of the guide, in a chain that holds', () => {
    const lax = forged((_concluded, entry) => {
      if (entry.kind === 'capture') entry.limits = { ...(entry.limits as object), max: 1e9 };
    });
    expect(codesOf(lax)).toContain('evidence.limits');
    const unsure = forged((_concluded, entry) => {
      if (entry.kind === 'capture') entry.rule = { ...(entry.rule as object), p: 0.6 };
    });
    expect(codesOf(unsure)).toContain('evidence.limits');
  });
});
