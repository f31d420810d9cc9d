// What befalls the process itself: interrupts, closed streams, a full disk, an old runtime.
import { spawnSync } from 'node:child_process';
import { existsSync, readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { mkdir, readFile } from 'node:fs/promises';
import { join } from 'node:path';
import { afterAll, describe, expect, test } from 'vitest';
import { parseRecord } from '../../src/record/chain/parse-record.ts';
import { verifyRecord } from '../../src/verify/verify.ts';
import { mainFile } from '../support/built.ts';
import { notApplicable } from '../support/needs.ts';
import { killProgramsAfterwards, ohmwright, Program, ran } from '../support/program.ts';
import { ranRecord } from '../support/ran-record.ts';
import { scratch, shortGuide } from '../support/scratch.ts';
import { driveBy, goOn, startSim } from './bench.ts';

killProgramsAfterwards();

const job = (port: string, record: string) => [
  ...['run', shortGuide, '--order', 'guide', '--repair', 'none', '--revision', 'A', '--port', port, '--record', record],
  ...['--json', '--accept-cautions', 'all'],
];

/** Starts a job and waits until it asks for the wire to be touched. */
async function jobAtTheWire(record: string) {
  const { sim, port } = await startSim(['--guide', shortGuide, '--seed', '9']);
  const run = ohmwright(job(port, record));
  driveBy(run, sim);
  await run.said.find(/Tip B: P2/);
  return { sim, port, run };
}

describe('an interrupt', { timeout: 60_000 }, () => {
  test('once: the job is left open with 130, whole, and goes on', async () => {
    const record = join(scratch(), 'job.owjob');
    const { sim, port, run } = await jobAtTheWire(record);
    run.kill('SIGINT');
    expect(await run.ended).toEqual({ code: 130, signal: null });
    expect(run.json).toMatchObject({ open: true, exitCode: 130 });
    expect(run.said.text).toContain(`resume ${record}`);
    expect(readdirSync(join(record, '..'))).toEqual(['job.owjob']);
    expect((await goOn(record, port, sim).ended).code).toBe(0);
    expect(verifyRecord(await readFile(record)).departures).toEqual([]);
  });

  test('twice: the program ends at once by the signal, and nothing that was said is lost', async () => {
    const record = join(scratch(), 'job.owjob');
    const { sim, port, run } = await jobAtTheWire(record);
    // stopped, so that both arrive before the program has had time to leave by itself
    run.kill('SIGSTOP');
    run.kill('SIGINT');
    run.kill('SIGTERM');
    run.kill('SIGCONT');
    const { signal } = await run.ended;
    expect(['SIGINT', 'SIGTERM']).toContain(signal);
    expect(run.said.text).toContain('Stopped at once');
    const bytes = await readFile(record);
    expect(verifyRecord(bytes).departures).toEqual([]);
    const passes = parseRecord(bytes).lines.filter(({ entry }) => 'outcome' in entry && entry.outcome === 'pass');
    const said = run.said.all.filter((line) => line.startsWith('[+] pass'));
    expect(passes.length).toBeGreaterThanOrEqual(said.length);
    // the lock of a process that is gone is taken over
    expect((await goOn(record, port, sim).ended).code).toBe(0);
  });

  test('ends the simulator and the demo with 130 as well', async () => {
    const { sim } = await startSim(['--guide', shortGuide]);
    sim.kill('SIGINT');
    expect(await sim.ended).toEqual({ code: 130, signal: null });
    const demo = ohmwright(['demo', '--jobs', scratch()]);
    await demo.said.find(/^> /);
    demo.kill('SIGINT');
    expect(await demo.ended).toEqual({ code: 130, signal: null });
  });
});

describe('a person at the keyboard', { timeout: 60_000 }, () => {
  test('types nonsense, a note and quit: help, an entry, and an open job with 3', async () => {
    const record = join(scratch(), 'job.owjob');
    const { sim, port } = await startSim(['--guide', shortGuide]);
    const run = ohmwright(job(port, record));
    driveBy(run, sim, { onLine: (line) => /yes, no or unsure/.test(line) });
    await run.said.find(/yes, no or unsure/);
    run.type('perhaps');
    run.type('note the sleeve is scorched');
    await run.said.find(/note: the sleeve is scorched/);
    run.type('quit');
    expect(await run.ended).toEqual({ code: 3, signal: null });
    expect(run.said.text).toContain('Type one of');
    const { lines } = parseRecord(await readFile(record));
    expect(lines.map(({ entry }) => entry.kind)).toContain('note');
    expect(run.json).toMatchObject({ open: true, result: 'inconclusive' });
  });

  test('is not there (stdin closed): the tips alone bring a job to its end', async () => {
    const folder = scratch();
    const guide = join(folder, 'no-look.yaml');
    const text = readFileSync(shortGuide, 'utf8');
    writeFileSync(guide, text.slice(0, text.indexOf('  - id: look-wire')) + text.slice(text.indexOf('  - id: wire\n')));
    const { sim, port } = await startSim(['--guide', guide]);
    const record = join(folder, 'job.owjob');
    const args = [
      'run',
      guide,
      '--order',
      'guide',
      '--repair',
      'none',
      '--revision',
      'A',
      '--port',
      port,
      '--record',
      record,
    ];
    const run = ohmwright([...args, '--json', '--accept-cautions', 'all'], { stdio: ['ignore', 'pipe', 'pipe'] });
    driveBy(run, sim);
    expect(await run.ended).toEqual({ code: 0, signal: null });
  });
});

describe('stdout closed by its reader', { timeout: 60_000 }, () => {
  /** Runs a shell line in which "$@" is ohmwright; prints the exit code of the first program of the pipe last. */
  const piped = async (line: string, cwd: string) => {
    const run = new Program('bash', ['-c', `${line}; echo "\${PIPESTATUS[0]}"`, 'bash', process.execPath, mainFile], {
      cwd,
    });
    await run.ended;
    return run;
  };

  test('show | head -1: the line, 0, and no complaint', async () => {
    const cwd = scratch();
    await ranRecord(cwd, 'job.owjob');
    const run = await piped('"$@" show job.owjob | head -1', cwd);
    expect(run.out.all.at(-1)).toBe('0');
    expect(run.out.all).toHaveLength(2);
    expect(run.said.all).toEqual([]);
  });

  test('meter | head -3: ends by itself, with 0', async () => {
    const { sim, port } = await startSim(['--guide', shortGuide]);
    sim.type('short');
    const run = await piped(`"$@" meter --port ${port} | head -3`, scratch());
    expect(run.out.all).toHaveLength(4);
    expect(run.out.all.at(-1)).toBe('0');
  });
});

// /dev/full is a device on which there is never room; only Linux has it
const hasFull = existsSync('/dev/full');
describe.skipIf(notApplicable(hasFull, 'there is no /dev/full here', 'the tests of a terminal in memory stand for it'))(
  'an output on which there is no room',
  { timeout: 60_000 },
  () => {
    /** Runs a shell line in which "$@" is ohmwright. */
    const inShell = async (line: string, args: string[], cwd: string) => {
      const run = new Program('bash', ['-c', line, 'bash', process.execPath, mainFile, ...args], { cwd });
      return { run, ending: await run.ended };
    };

    test('data: one sentence, and 9', async () => {
      const cwd = scratch();
      await ranRecord(cwd, 'job.owjob');
      const { run, ending } = await inShell('exec "$@" > /dev/full', ['show', 'job.owjob'], cwd);
      expect(ending).toEqual({ code: 9, signal: null });
      expect(run.said.all).toHaveLength(1);
    });

    test.each([
      ['data', 'exec "$@" > /dev/full'],
      ['talk', 'exec "$@" 2> /dev/full'],
      ['both', 'exec "$@" > /dev/full 2>&1'],
    ])('%s of a job: 9, and the record holds and can be gone on with', async (_name, line) => {
      const record = join(scratch(), 'job.owjob');
      const { run, ending } = await inShell(line, job('sim:', record), join(record, '..'));
      expect(ending).toEqual({ code: 9, signal: null });
      expect(run.said.text).not.toContain('    at ');
      const bytes = await readFile(record);
      expect(verifyRecord(bytes).departures).toEqual([]);
      if (parseRecord(bytes).lines.some(({ entry }) => entry.kind === 'closed')) return;
      const again = await ran(['run', '--resume', record, '--order', 'guide', '--port', 'sim:', '--json']);
      expect(again.json).toMatchObject({ result: 'passed' });
    });

    test('a reader of the talk that goes away leaves an open job, whole', async () => {
      const record = join(scratch(), 'job.owjob');
      const { run } = await inShell('"$@" 2>&1 > /dev/null | head -2', job('sim:', record), join(record, '..'));
      expect(run.out.all).toHaveLength(2);
      const again = await ran(['run', '--resume', record, '--order', 'guide', '--port', 'sim:', '--json']);
      expect(again.json).toMatchObject({ result: 'passed' });
      expect(verifyRecord(await readFile(record)).departures).toEqual([]);
    });
  },
);

describe('a file that may grow no more (ulimit -f)', { timeout: 60_000 }, () => {
  test('exit 6, what was said is kept, and the job goes on once there is room', async () => {
    const folder = scratch();
    const record = join(folder, 'job.owjob');
    const whole = readFileSync(await ranRecord(folder, 'whole.owjob')).length;
    const limited = `ulimit -f ${Math.floor(whole / 2048)} && exec "$0" "$@"`;
    const run = new Program('bash', ['-c', limited, process.execPath, mainFile, ...job('sim:', record)]);
    expect(await run.ended).toEqual({ code: 6, signal: null });
    await goesOn(run, record);
  });
});

/** Checks what was said against the record, and that the job comes to its end. */
async function goesOn(run: Program, record: string): Promise<void> {
  expect(run.said.text).toContain(record);
  expect(run.said.text).not.toContain('ohmwright itself');
  const said = run.said.all.filter((line) => line.startsWith('[+] pass'));
  const { lines, damage } = parseRecord(await readFile(record));
  expect(damage).toEqual([]);
  const stored = lines.filter(({ entry }) => 'outcome' in entry && entry.outcome === 'pass');
  expect(stored.length).toBeGreaterThanOrEqual(said.length);
  const again = await ran(['run', '--resume', record, '--order', 'guide', '--port', 'sim:', '--json']);
  expect(again.ending.code).toBe(0);
  expect(again.json).toMatchObject({ result: 'passed' });
  expect(verifyRecord(await readFile(record)).departures).toEqual([]);
}

const disk = join(scratch(), 'disk');
await mkdir(disk);
const mounted = spawnSync('mount', ['-t', 'tmpfs', '-o', 'size=16k', 'tmpfs', disk]).status === 0;
afterAll(() => {
  if (mounted) spawnSync('umount', [disk]);
});

describe.skipIf(notApplicable(mounted, 'a small disk can not be mounted here', 'ulimit -f stands for a full disk'))(
  'a disk that is full',
  { timeout: 60_000 },
  () => {
    test('exit 6, what was said is kept, and the job goes on once there is room', async () => {
      const record = join(disk, 'job.owjob');
      const run = await ran(job('sim:', record));
      expect(run.ending.code).toBe(6);
      expect(run.said.text).toContain('the disk is full');
      expect(spawnSync('mount', ['-o', 'remount,size=1m', disk]).status).toBe(0);
      await goesOn(run, record);
    });
  },
);

/** The system's own node, if it is older than the program needs. */
function oldNode(): string | null {
  const path = (process.env.PATH ?? '').split(':').filter((folder) => !folder.includes('node_modules'));
  for (const folder of path) {
    const node = join(folder, 'node');
    const version = /^v(\d+)\./.exec(spawnSync(node, ['--version'], { encoding: 'utf8' }).stdout ?? '');
    if (version !== null && Number(version[1]) < 22) return node;
  }
  return null;
}

const old = oldNode();
describe.skipIf(notApplicable(old !== null, 'there is no Node.js older than 22 here', 'an old one is not tried'))(
  'an old Node.js',
  () => {
    test('one sentence with the version needed, exit 2', async () => {
      const run = new Program(old!, [mainFile, 'demo']);
      expect(await run.ended).toEqual({ code: 2, signal: null });
      expect(run.said.all).toHaveLength(1);
      expect(run.said.text).toMatch(/22\.\d+/);
      expect(run.out.all).toEqual([]);
    });
  },
);
