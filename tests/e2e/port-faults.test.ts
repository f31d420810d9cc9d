// Ports that are no probe, another's, missing, busy, forbidden, or gone in the middle of a job: one sentence, its exit code, nothing lost.
import { spawnSync } from 'node:child_process';
import { chmodSync, existsSync } from 'node:fs';
import { readFile } from 'node:fs/promises';
import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import { verifyRecord } from '../../src/verify/verify.ts';
import { mainFile } from '../support/built.ts';
import { notApplicable } from '../support/needs.ts';
import { killProgramsAfterwards, ohmwright, ran } from '../support/program.ts';
import { scratch, shortGuide } from '../support/scratch.ts';
import { driveBy, goOn, startSim } from './bench.ts';
import { noisyPort, otherVersionPort, silentPort } from './fake-port.ts';

killProgramsAfterwards();

const job = (port: string, record: string) => [
  ...['run', shortGuide, '--order', 'guide', '--repair', 'none', '--revision', 'A', '--port', port, '--record', record],
  ...['--json', '--accept-cautions', 'all'],
];

/** Runs a job on a port where it can't begin; no record is left. */
async function refused(port: string, spawning = {}) {
  const record = join(scratch(), 'job.owjob');
  const run = await ran(job(port, record), spawning);
  expect(run.said.text).toContain(port);
  expect(run.said.text).not.toContain('ohmwright itself');
  expect(run.out.all).toEqual([]);
  expect(existsSync(record)).toBe(false);
  return { run };
}

// seeded by hand: noise that differs from turn to turn, with the bytes that frames begin and end with among it
const noise = (turn: number) => Uint8Array.from({ length: 40 }, (_, i) => ((i + turn) * 167 + ((i * i) >> 2)) & 0xff);
const brokenFrames = (turn: number) => Uint8Array.of(0xc0, 0x81, turn & 0xff, 0x00, 0x12, 0x34, 0xc0, 0xdb, 0x01, 0xc0);

describe('a port', { timeout: 60_000 }, () => {
  test('on which nobody answers: exit 5', async () => {
    const { run } = await refused(silentPort().path);
    expect(run.ending.code).toBe(5);
  });

  test.each([
    { what: 'noise', bytes: noise },
    { what: 'broken frames', bytes: brokenFrames },
  ])('that talks $what: exit 5, not a probe', async ({ bytes }) => {
    const { run } = await refused(noisyPort(bytes).path);
    expect(run.ending.code).toBe(5);
    expect(run.said.text).toMatch(/\d+ bytes? came/);
  });

  test.each([true, false])(
    'with a probe of protocol version 2 (refuses: %s): exit 5, both versions are named',
    async (refuses) => {
      const { run } = await refused(otherVersionPort(2, refuses).path);
      expect(run.ending.code).toBe(5);
      expect(run.said.text).toMatch(/version 2\.\d.*1\.\d/);
    },
  );

  test('that is not there: exit 4', async () => {
    const { run } = await refused('/dev/no-such-port');
    expect(run.ending.code).toBe(4);
  });

  test('that is a file: exit 4, and the file stays as it is', async () => {
    const before = await readFile(shortGuide);
    const { run } = await refused(shortGuide);
    expect(run.ending.code).toBe(4);
    expect((await readFile(shortGuide)).equals(before)).toBe(true);
  });

  test('that another program holds: exit 4, the holder is named and goes on', async () => {
    const { sim, port } = await startSim(['--guide', shortGuide]);
    const holder = ohmwright(['meter', '--port', port]);
    sim.type('short');
    await holder.out.find(/both tips seated/);
    const { run } = await refused(port);
    expect(run.ending.code).toBe(4);
    expect(run.said.text).toContain(`process ${holder.child.pid}`);
    await holder.out.find(/./, holder.out.all.length);
    holder.kill('SIGINT');
    expect(await holder.ended).toEqual({ code: 130, signal: null });
  });

  test('on which `probes` finds the probe: 0, with its serial number; and nobody elsewhere: 4', async () => {
    const { port } = await startSim(['--guide', shortGuide, '--seed', '12']);
    const found = await ran(['probes', port, '--json']);
    expect(found.ending.code).toBe(0);
    expect(found.json).toMatchObject([{ state: 'probe', identity: { probeSerial: 900_012 } }]);
    const none = await ran(['probes', silentPort().path, '--json']);
    expect(none.ending.code).toBe(4);
    expect(none.json).toMatchObject([{ state: 'no-probe', code: 'link.not-a-probe' }]);
  });
});

// as root everything may be opened, so the program runs as someone else then; else the port is closed to everybody
const isRoot = process.getuid?.() === 0;
const nobody = isRoot ? { uid: 65_534, gid: 65_534 } : {};
const nobodyMayRunIt = spawnSync(process.execPath, [mainFile, '--version'], nobody).status === 0;

describe.skipIf(
  notApplicable(nobodyMayRunIt, 'another user may not read the project here', 'forbidden ports are not tested'),
)('a port that this user may not open', { timeout: 60_000 }, () => {
  test('exit 4, with what to do about it', async () => {
    const { path } = silentPort();
    chmodSync(path, isRoot ? 0o600 : 0o000);
    const folder = scratch();
    chmodSync(folder, 0o777);
    // someone else has a key of their own
    const env = { ...process.env, OHMWRIGHT_KEY: join(folder, 'key.pem') };
    const run = await ran(job(path, join(folder, 'job.owjob')), { ...nobody, env });
    expect(run.ending.code).toBe(4);
    expect(run.said.text).toContain(`You may not open ${path}`);
    expect(run.said.text).toContain('70-ohmwright.rules');
  });
});

describe('a port that vanishes in mid-job', { timeout: 60_000 }, () => {
  test('and stays away: the job waits, an interrupt leaves it open with 130, and it goes on elsewhere', async () => {
    const folder = scratch();
    const record = join(folder, 'job.owjob');
    const { sim, port } = await startSim(['--guide', shortGuide, '--seed', '8', '--link', join(folder, 'probe')]);
    const run = ohmwright(job(port, record));
    driveBy(run, sim, {
      onLine: (line) => {
        if (/Tip B: P3/.test(line)) sim.type('unplug');
        return false;
      },
    });
    // from the unplugging on: a busy machine may have lost the link before, and found it again
    const { index } = await run.said.find(/Tip B: P3/);
    await run.said.find(/looking for the probe again/, index);
    run.kill('SIGINT');
    expect(await run.ended).toEqual({ code: 130, signal: null });
    expect(run.json).toMatchObject({ open: true, exitCode: 130, result: 'inconclusive' });
    const report = verifyRecord(await readFile(record));
    expect(report.departures).toEqual([]);
    const { sim: other, port: elsewhere } = await startSim(['--guide', shortGuide, '--seed', '8']);
    const again = goOn(record, elsewhere, other);
    expect((await again.ended).code).toBe(0);
    expect(again.said.text).not.toContain('> Wire from end to end');
  });

  test('under the meter: exit 5', async () => {
    const link = join(scratch(), 'probe');
    const { sim, port } = await startSim(['--guide', shortGuide, '--link', link]);
    const meter = ohmwright(['meter', '--port', port]);
    await meter.out.find(/tips in the air/);
    sim.type('unplug');
    expect(await meter.ended).toEqual({ code: 5, signal: null });
  });
});
