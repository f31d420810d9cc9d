// What a job is told of its probe's past: a drift that goes on, nothing else.
import { writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { beforeAll, describe, expect, test } from 'vitest';
import { driftText, latestProofs } from '../../../src/cli/statistics/probe-drift.ts';
import { readRecord } from '../../../src/record/store/read-record.ts';
import { cli } from '../../support/command-line.ts';
import { probeSerial } from '../../support/sample-job.ts';
import { scratch, shortGuide } from '../../support/scratch.ts';
import { proofRecords } from '../../unit/cli/proof-records.ts';

let cwd: string;
beforeAll(async () => {
  cwd = scratch();
});

const drifting = (day: number) => 100 + Math.max(0, day - 15) * 1.5;

describe('the drift of a probe, as a job is told', () => {
  test('is said with the proof that shows it and the day it began', async () => {
    const proofs = await latestProofs(await proofRecords(cwd, 'drifting', 24, drifting));
    const text = driftText(proofs, probeSerial)!;
    expect(text).toMatch(/check resistor since about 2031-03-1\d/);
    expect(text).not.toContain('shorted tips');
    expect(driftText(proofs, probeSerial + 1)).toBeNull();
  });

  test('is nothing where the proofs are steady, too few, or not to be read', async () => {
    expect(driftText(await latestProofs(await proofRecords(cwd, 'steady', 14, () => 100)), probeSerial)).toBeNull();
    const few = await proofRecords(cwd, 'few', 3, () => 100);
    await writeFile(join(few, 'broken.owjob'), Buffer.from([0xff, 0xfe, 0]));
    const proofs = await latestProofs(few);
    expect(proofs).toHaveLength(12);
    expect(driftText(proofs, probeSerial)).toBeNull();
    expect(await latestProofs(join(cwd, 'nowhere'))).toEqual([]);
  });

  test('is of the latest records: one of long ago, mended since, is past', async () => {
    const folder = await proofRecords(cwd, 'long-ago', 66, (day) => (day < 20 ? drifting(day + 4) : 100));
    const proofs = await latestProofs(folder);
    expect(new Set(proofs.map(({ job }) => job)).size).toBe(40);
    expect(proofs.every(({ job }) => Number(job.slice(4)) >= 26)).toBe(true);
    expect(driftText(proofs, probeSerial)).toBeNull();
  });

  test('stands in the record of the next job with that probe, and is said at its start', async () => {
    const folder = await proofRecords(cwd, 'next', 24, drifting, 900_001);
    const record = join(cwd, 'next.owjob');
    const job = ['run', shortGuide, '--order', 'guide', '--port', 'sim:', '--revision', 'A', '--jobs', folder];
    const { terminal } = await cli(cwd, [...job, '--record', record]);
    expect(terminal.said).toContain('DRIFTS: check resistor since about');
    const { entries } = await readRecord(record);
    expect(entries.find(({ kind }) => kind === 'probe')).toMatchObject({
      calibrationState: expect.stringContaining('DRIFTS'),
    });
  }, 30_000);
});
