// Bridges, film checks and holds by the built program in a process of its own, over a real serial port (a pseudo-terminal).
import { readFile, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import { verifyRecord } from '../../src/verify/verify.ts';
import { kindsGuide } from '../support/kinds-guide.ts';
import { killProgramsAfterwards, ohmwright, ran } from '../support/program.ts';
import { scratch } from '../support/scratch.ts';
import { driveBy, startSim } from './bench.ts';

killProgramsAfterwards();

interface JobData {
  result: string;
  checks: { id: string; outcome: string | null }[];
}

describe('checks of more than one step over a pseudo-terminal', { timeout: 90_000 }, () => {
  test.each([
    { what: 'a healthy device', faults: [], answer: 'yes', code: 0, verdicts: ['pass', 'pass', 'pass', 'pass'] },
    { what: 'a film', faults: ['contact=film'], answer: 'yes', code: 1, verdicts: ['fail', 'fail', 'pass', 'pass'] },
  ] as const)('$what: exit $code', async ({ faults, answer, code, verdicts }) => {
    const folder = scratch();
    const guide = join(folder, 'kinds.yaml');
    await writeFile(guide, kindsGuide().text);
    const record = join(folder, 'kinds.owjob');
    const { sim, port } = await startSim([
      '--guide',
      guide,
      '--seed',
      '8',
      ...faults.flatMap((one) => ['--fault', one]),
    ]);
    const run = ohmwright([
      ...['run', guide, '--revision', 'A', '--port', port, '--record', record, '--order', 'guide', '--repair', 'none'],
      ...['--json', '--accept-cautions', 'all'],
    ]);
    driveBy(run, sim, { answers: { 'Did it': answer } });
    expect(await run.ended).toEqual({ code, signal: null });
    expect((run.json as JobData).checks.map(({ outcome }) => outcome)).toEqual(verdicts);
    const report = verifyRecord(await readFile(record));
    expect(report.departures).toEqual([]);
    expect(report.counters).toMatchObject({ bridges: 2, levels: 1, holds: 1 });
    expect(run.said.text).toContain('closure proven');
    expect((await ran(['verify', record])).ending.code).toBe(0);
    sim.type('quit');
    expect(await sim.ended).toEqual({ code: 0, signal: null });
  });
});
