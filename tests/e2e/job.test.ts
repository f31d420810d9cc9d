// Whole jobs by the built program in processes of their own, over a real serial port (a pseudo-terminal), with the probe's firmware behind it.
import { readFile } from 'node:fs/promises';
import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import { parseRecord } from '../../src/record/chain/parse-record.ts';
import { verifyRecord } from '../../src/verify/verify.ts';
import { entryLine } from '../../src/view/words/entry.ts';
import { type Ending, killProgramsAfterwards, ohmwright, type Program, ran } from '../support/program.ts';
import { scratch, shortGuide } from '../support/scratch.ts';
import { driveBy, startSim } from './bench.ts';

killProgramsAfterwards();

/** `npm run test:starved` repeats what once failed on a busy machine. */
const repeats = Number(process.env.OHMWRIGHT_REPEATS ?? 1) - 1;

interface JobData {
  record: string;
  open: boolean;
  result: string;
  exitCode: number;
  proofs: string;
  checks: { id: string; outcome: string | null; attempts: { outcome: string }[] }[];
}

const verdicts = (run: Program): string[] =>
  (run.json as JobData).checks.map(({ id, outcome }) => `${id} ${outcome ?? 'none'}`);

const runArgs = (port: string, record: string) => [
  ...['run', shortGuide, '--order', 'guide', '--repair', 'none', '--revision', 'A', '--port', port, '--record', record],
  ...['--json', '--accept-cautions', 'all'],
];

const resumeArgs = (port: string, record: string) => [
  ...['run', '--resume', record, '--order', 'guide', '--repair', 'none', '--port', port],
  ...['--json', '--accept-cautions', 'all'],
];

/** Lines that say that evidence was captured begin with a mark in brackets. */
const isCapture = (line: string) => line.startsWith('[');

async function inVirtualTime(seed: number, faults: string[]): Promise<Program & { ending: Ending }> {
  const record = join(scratch(), 'virtual.owjob');
  return ran([...runArgs('sim:', record), '--seed', String(seed), ...faults.flatMap((fault) => ['--fault', fault])]);
}

describe('a job over a pseudo-terminal', { timeout: 90_000 }, () => {
  test.each([
    { what: 'a healthy device', seed: 3, faults: [], look: 'yes', code: 0, result: 'passed' },
    { what: 'an open wire', seed: 4, faults: ['wire-a=open'], look: 'no', code: 1, result: 'failed' },
    { what: 'a wire of a few ohm', seed: 5, faults: ['wire-a=high:4.7ohm'], look: 'yes', code: 1, result: 'failed' },
  ] as const)('$what: exit $code, and the same verdicts as in virtual time', async (job) => {
    const { seed, faults, look, code, result } = job;
    const record = join(scratch(), 'job.owjob');
    const simArgs = ['--guide', shortGuide, '--seed', String(seed), ...faults.flatMap((fault) => ['--fault', fault])];
    const { sim, port } = await startSim(simArgs);
    const run = ohmwright(runArgs(port, record));
    driveBy(run, sim, { answers: { 'wire whole': look } });
    expect(await run.ended).toEqual({ code, signal: null });
    expect(run.out.all).toHaveLength(1);
    expect(run.json).toMatchObject({ record, open: false, result, exitCode: code, proofs: 'held' });
    const virtual = await inVirtualTime(seed, [...faults]);
    expect(virtual.ending.code).toBe(code);
    expect(verdicts(run)).toEqual(verdicts(virtual));
    const report = verifyRecord(await readFile(record));
    expect(report.departures).toEqual([]);
    expect(report).toMatchObject({ ok: true, result });
    expect((await ran(['verify', record])).ending.code).toBe(0);
    sim.type('quit');
    expect(await sim.ended).toEqual({ code: 0, signal: null });
  });

  test('goes on after kill -9, however often: everything that was said to be captured is in the record', {
    repeats,
  }, async () => {
    const record = join(scratch(), 'killed.owjob');
    const { sim, port } = await startSim(['--guide', shortGuide, '--seed', '6']);
    const said: string[] = [];
    // killed while tips touch the first time, then as soon as something new was said to be captured, again and again
    for (let round = 0; round < 5; round++) {
      const args = round === 0 ? runArgs(port, record) : resumeArgs(port, record);
      const run = ohmwright(args);
      driveBy(run, sim, {
        onLine: (line) => {
          if (round > 0 ? isCapture(line) : /Tip A/.test(line)) run.kill('SIGKILL');
          return false;
        },
      });
      expect(await run.ended).toEqual({ code: null, signal: 'SIGKILL' });
      said.push(...run.said.all.filter(isCapture));
      const { lines, damage } = parseRecord(await readFile(record));
      expect(damage).toEqual([]);
      const stored = lines.map(({ entry }) => entryLine(entry));
      for (const line of said) expect(stored).toContain(line);
    }
    const before = parseRecord(await readFile(record));
    const last = ohmwright(resumeArgs(port, record));
    driveBy(last, sim);
    expect(await last.ended).toEqual({ code: 0, signal: null });
    expect(last.json).toMatchObject({ open: false, result: 'passed', proofs: 'held' });
    // what was answered before is not asked again
    expect(last.said.text).not.toContain('Wire by eye');
    const bytes = await readFile(record);
    const { lines } = parseRecord(bytes);
    for (const [index, { sha256 }] of before.lines.entries()) expect(lines[index]?.sha256).toBe(sha256);
    expect(verifyRecord(bytes).departures).toEqual([]);
  });

  test('goes on after unplugging: a gap stands in the record, and the check in hand is asked again', {
    repeats,
  }, async () => {
    const folder = scratch();
    const record = join(folder, 'unplugged.owjob');
    const link = join(folder, 'probe');
    const { sim, port } = await startSim(['--guide', shortGuide, '--seed', '7', '--link', link]);
    expect(port).toBe(link);
    const run = ohmwright(runArgs(port, record));
    let isUnplugged = false;
    driveBy(run, sim, {
      onLine: (line) => {
        if (!line.startsWith('> Switch open at rest') || isUnplugged) return false;
        isUnplugged = true;
        sim.type('unplug');
        return false;
      },
    });
    const lost = await run.said.find(/looking for the probe again/);
    sim.type('plug');
    const again = await run.said.find(/^> Switch open at rest/, lost.index);
    expect(again.index).toBeGreaterThan(lost.index);
    expect(await run.ended).toEqual({ code: 0, signal: null });
    expect(run.json).toMatchObject({ result: 'passed', proofs: 'held', counts: { gaps: 1 } });
    const bytes = await readFile(record);
    expect(verifyRecord(bytes).departures).toEqual([]);
    const kinds = parseRecord(bytes).lines.map(({ entry }) => entry.kind);
    expect(kinds.filter((kind) => kind === 'gap')).toHaveLength(1);
    // the same probe is welcomed twice, with the gap before
    expect(kinds.filter((kind) => kind === 'probe')).toHaveLength(2);
    expect(kinds.indexOf('gap')).toBeLessThan(kinds.lastIndexOf('probe'));
  });
});
