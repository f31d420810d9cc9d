import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { beforeAll, describe, expect, test } from 'vitest';
import type { ProposedWeight } from '../../../src/isolate/suspects/prior-counts.ts';
import { cli } from '../../support/command-line.ts';
import { ranRecord } from '../../support/ran-record.ts';
import { scratch, shortGuide } from '../../support/scratch.ts';
import { forgery } from '../../unit/verify/forged.ts';

interface Told {
  cases: { record: string; faults: { link: string; mode: string; count: number }[]; why: string | null }[];
  weights: ProposedWeight[];
}

let cwd: string;
let guide: string;
let repaired: string;
beforeAll(async () => {
  cwd = scratch();
  guide = join(cwd, 'lamp.yaml');
  writeFileSync(
    guide,
    `${readFileSync(shortGuide, 'utf8')}
repairs:
  - { id: new-wire, name: fit a new wire, fixes: [wire-a], price: 2.50, minutes: 5, success: 100 % }
`,
  );
  repaired = join(cwd, 'repaired.owjob');
  const sim = ['--port', 'sim:', '--revision', 'A', '--fault', 'wire-a=open', '--repair', 'first'];
  const { code } = await cli(cwd, ['run', guide, ...sim, '--record', repaired]);
  expect(code).toBe(0);
});

describe('priors', () => {
  test('counts the fault that a repaired job confirms', async () => {
    const { code, terminal } = await cli(cwd, ['priors', repaired, '--guide', guide, '--with-emulated', '--json']);
    expect(code).toBe(0);
    const { cases, weights } = terminal.json as Told;
    expect(cases).toMatchObject([{ record: repaired, why: null }]);
    expect(cases[0]!.faults.reduce((sum, { count }) => sum + count, 0)).toBeCloseTo(1, 9);
    const open = weights.find(({ link, mode }) => link === 'wire-a' && mode === 'open')!;
    expect(open.count).toBeGreaterThan(0.9);
    expect(open.after).toBeCloseTo(open.before + open.count, 12);
    expect(open.shareAfter).toBeGreaterThan(open.shareBefore);
  });

  test('shows weights before it writes them, into a new file, and counts no job twice', async () => {
    const written = join(cwd, 'lamp-2.yaml');
    const first = await cli(cwd, ['priors', repaired, '--guide', guide, '--with-emulated', '--out', written]);
    expect(first.code).toBe(0);
    expect(first.terminal.outLines.join('\n')).toContain('wire-a=open');
    const [before, after] = [guide, written].map((file) => readFileSync(file, 'utf8').split('\n'));
    expect(after!.filter((line) => !before!.includes(line))).toHaveLength(2);
    expect((await cli(cwd, ['guide', 'check', written])).code).toBe(0);
    const again = await cli(cwd, ['priors', repaired, '--guide', written, '--with-emulated', '--json']);
    expect((again.terminal.json as Told).cases).toMatchObject([{ faults: [], why: 'it is counted already' }]);
    const over = await cli(cwd, ['priors', repaired, '--guide', guide, '--with-emulated', '--out', written]);
    expect(over.code).toBe(9);
    expect(readFileSync(written, 'utf8').split('\n')).toEqual(after);
  });

  test('counts a record once, whatever its copies are called, and two records of one name each', async () => {
    const copy = join(cwd, 'renamed.owjob');
    writeFileSync(copy, readFileSync(repaired));
    const { terminal } = await cli(cwd, ['priors', copy, repaired, '--guide', guide, '--with-emulated', '--json']);
    expect((terminal.json as Told).cases).toMatchObject([
      { why: null },
      { faults: [], why: `it is a copy of ${copy}` },
    ]);
    // a guide whose weights hold another record of the same name
    const other = join(cwd, 'other-bench.yaml');
    const { job } = JSON.parse(readFileSync(repaired, 'utf8').split('\n')[0]!).body as { job: string };
    writeFileSync(other, `# counted in the weights: ${job} ${'0'.repeat(64)} 30\n${readFileSync(guide, 'utf8')}`);
    const again = await cli(cwd, ['priors', repaired, '--guide', other, '--with-emulated', '--json']);
    expect((again.terminal.json as Told).cases).toMatchObject([{ why: null }]);
  });

  test('counts nothing of a record that does not verify', async () => {
    const forged = join(cwd, 'forged.owjob');
    const bytes = forgery(readFileSync(repaired), (entries) =>
      entries.map((entry) => (entry.kind === 'caution' ? { ...entry, text: 'Nothing to fear.' } : entry)),
    );
    writeFileSync(forged, bytes);
    const { terminal } = await cli(cwd, ['priors', forged, '--guide', guide, '--with-emulated', '--json']);
    expect((terminal.json as Told).cases).toMatchObject([{ faults: [], why: 'it does not verify' }]);
  });

  test('counts nothing of jobs that confirm nothing, and says why', async () => {
    const healthy = await ranRecord(cwd, 'healthy.owjob');
    const failed = await ranRecord(cwd, 'failed.owjob', 'wire-a=open');
    const torn = join(cwd, 'torn.owjob');
    writeFileSync(torn, readFileSync(repaired).subarray(0, -30));
    const { code, terminal } = await cli(cwd, [
      'priors',
      healthy,
      failed,
      torn,
      '--guide',
      guide,
      '--with-emulated',
      '--json',
    ]);
    expect(code).toBe(0);
    const { cases, weights } = terminal.json as Told;
    expect(cases.map(({ faults }) => faults)).toEqual([[], [], []]);
    expect(cases.map(({ why }) => why)).toEqual([
      "its result is 'passed'",
      "its result is 'failed'",
      'the record is not whole',
    ]);
    expect(weights.every(({ count }) => count === 0)).toBe(true);
  });

  test('counts no job on the emulated probe unless asked to: a demo is no case', async () => {
    const { terminal } = await cli(cwd, ['priors', repaired, '--guide', guide, '--json']);
    const { cases, weights } = terminal.json as Told;
    expect(cases[0]).toMatchObject({ faults: [], why: expect.stringContaining('emulated') });
    expect(weights.every(({ count }) => count === 0)).toBe(true);
  });

  test('a record of another guide is not counted; a record that is not there is an error', async () => {
    const other = join(cwd, 'other.yaml');
    expect((await cli(cwd, ['guide', 'new', other])).code).toBe(0);
    const { terminal } = await cli(cwd, ['priors', repaired, '--guide', other, '--with-emulated', '--json']);
    expect((terminal.json as Told).cases[0]!.why).toContain("'short-lamp'");
    expect((await cli(cwd, ['priors', 'nowhere', '--guide', guide])).code).toBe(6);
  });
});

test('priors gives the same numbers from a ledger as from the files', { timeout: 120_000 }, async () => {
  const ledger = join(cwd, 'ledger');
  const healthy = await ranRecord(cwd, 'healthy-too.owjob');
  expect((await cli(cwd, ['ledger', 'add', repaired, healthy, '--ledger', ledger])).code).toBe(0);
  const ask = async (...which: string[]): Promise<Told> => {
    const { code, terminal } = await cli(cwd, ['priors', ...which, '--guide', guide, '--with-emulated', '--json']);
    expect(code).toBe(0);
    return terminal.json as Told;
  };
  const [files, kept] = [await ask(repaired, healthy), await ask('--ledger', ledger)];
  expect(kept.weights).toEqual(files.weights);
  expect(kept.cases.map(({ faults }) => faults)).toEqual([files.cases[0]!.faults]);
  expect((await cli(cwd, ['priors', repaired, '--ledger', ledger, '--guide', guide])).code).toBe(2);
});
