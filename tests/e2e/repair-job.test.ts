// Whole jobs from the first check to the tested repair: the probe's firmware, the simulator's hands, belief, conclusion, repair, the same checks again.
import { readFile } from 'node:fs/promises';
import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import { parseGuide } from '../../src/checks/guides.ts';
import type { Guide } from '../../src/guide/types.ts';
import { readRecord } from '../../src/record/store/read-record.ts';
import { killProgramsAfterwards, ran } from '../support/program.ts';
import { scratch } from '../support/scratch.ts';
import { virtualJob } from '../support/virtual-job.ts';

killProgramsAfterwards();

const file = 'examples/field-recorder.yaml';

/** The field recorder's guide, its repairs with one chance of success. */
async function recorder(success: number): Promise<{ guide: Guide; text: string }> {
  const text = (await readFile(file, 'utf8')).replace(/success: \d+ %/g, `success: ${success} %`);
  const parsed = parseGuide(text, file);
  if (!parsed.ok) throw new Error(JSON.stringify(parsed.problems));
  return { guide: parsed.guide, text };
}

/** An interface is the same whichever of its units is named first. */
const sorted = (id: string): string => id.split('|').sort().join('|');
const settings = { order: 'information', repair: 'first' } as const;

describe('a job with a fault', { timeout: 60_000 }, () => {
  test.each([
    ['trace-a=open', 'jack-board', 1],
    ['contact-a=film', 'jack-board|key-unit', 1],
    // in series between the same two pads: the guide can't tell them apart, and the cheaper repair is tried first
    ['trace-rec=open', 'main-board', 2],
  ])('%s: %s is found, repaired, and every check that was done passes again', async (fault, decision, most) => {
    const guide = await recorder(100);
    const { state, report, of } = await virtualJob({ guide, faults: [fault], seed: 11, settings, isolates: true });
    const found = of('concluded')[0]?.decisions.map(({ id }) => sorted(id));
    expect(found).toContain(sorted(decision));
    expect(found!.length).toBeLessThanOrEqual(most);
    expect(state.job.result).toBe('repaired');
    expect(state.job.repairs.length).toBeLessThanOrEqual(most);
    const checks = Object.values(state.job.checks).filter(({ redo }) => redo);
    expect(checks.some(({ before }) => before === 'fail')).toBe(true);
    expect(checks.map(({ after }) => after)).toEqual(checks.map(() => 'pass'));
    expect(report.departures).toEqual([]);
    expect(report.result).toBe('repaired');
  });

  test('whose repairs do not help is closed as failed, never as repaired', async () => {
    const guide = await recorder(2);
    const how = { faults: ['trace-a=open'], seed: 5, settings, isolates: true };
    const { state, report } = await virtualJob({ guide, ...how });
    expect(state.job.repairs.length).toBeGreaterThan(0);
    // one that has failed once, and was never good for much, is not proposed again
    expect(state.job.concluded?.plan).toMatchObject({ steps: [], left: 1 });
    expect(state.job.result).toBe('failed');
    expect(report.departures).toEqual([]);
  });
});

describe('a healthy device', { timeout: 60_000 }, () => {
  test('is not accused: no fault found, with what was not tested', async () => {
    const guide = await recorder(100);
    const { state, report, of } = await virtualJob({ guide, seed: 2, settings, isolates: true });
    expect(state.job.result).toBe('no-fault-found');
    expect(of('repair')).toEqual([]);
    const [concluded] = of('concluded');
    expect(concluded?.conclusion).toBe('none');
    expect(concluded?.plan.steps).toEqual([]);
    const done = Object.values(state.job.checks).filter(({ attempts }) => attempts.length > 0);
    expect(concluded?.notTested).toHaveLength(guide.guide.checks.length - done.length);
    expect(report.departures).toEqual([]);
  });
});

describe('the built program', { timeout: 60_000 }, () => {
  test('runs the demo to a tested repair, ends with 0, and its record verifies', async () => {
    const demo = await ran(['demo', '--json', '--jobs', scratch()]);
    expect(demo.ending).toEqual({ code: 0, signal: null });
    const { record, result } = demo.json as { record: string; result: string };
    expect(result).toBe('repaired');
    const { state, entries } = await readRecord(record);
    const concluded = entries.flatMap((entry) => (entry.kind === 'concluded' ? [entry.conclusion] : []));
    expect([concluded[0], concluded.at(-1)]).toEqual(['fault', 'none']);
    const again = Object.values(state.checks).filter(({ redo }) => redo);
    expect(again.some(({ before }) => before === 'fail')).toBe(true);
    expect(again.map(({ after }) => after)).toEqual(again.map(() => 'pass'));
    const verified = await ran(['verify', record, '--json']);
    expect(verified.ending.code).toBe(0);
    expect(verified.json).toMatchObject([{ file: record, ok: true, result: 'repaired' }]);
    expect((await ran(['show', record])).ending.code).toBe(0);
  });

  test('finds no fault, keeps what was not tested, and ends with 3', async () => {
    const record = join(scratch(), 'healthy.owjob');
    const args = ['run', file, '--port', 'sim:', '--revision', 'A', '--record', record, '--json', '--seed', '4'];
    const run = await ran(args);
    expect(run.ending).toEqual({ code: 3, signal: null });
    expect(run.json).toMatchObject({ result: 'no-fault-found' });
    const { entries } = await readRecord(record);
    const concluded = entries.flatMap((entry) => (entry.kind === 'concluded' ? [entry] : []));
    expect(concluded.map(({ conclusion }) => conclusion)).toEqual(['none']);
    expect(concluded[0]!.notTested.length).toBeGreaterThan(0);
  });
});
