// A part that came days later, and a device that came back: through the commands, from the ticket to the weights.
import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { beforeAll, describe, expect, test } from 'vitest';
import type { JobState } from '../../../src/record/state/job-state.ts';
import { cli } from '../../support/command-line.ts';
import { scratch, shortGuide } from '../../support/scratch.ts';

let cwd: string;
let guide: string;
let failed: Buffer;
let mended: Buffer;
const sim = ['--port', 'sim:'];
beforeAll(async () => {
  cwd = scratch();
  guide = join(cwd, 'lamp.yaml');
  const repairs =
    'repairs:\n  - { id: new-wire, name: fit a new wire, fixes: [wire-a], price: 2.50, minutes: 5, success: 100 % }\n';
  writeFileSync(guide, `${readFileSync(shortGuide, 'utf8')}\n${repairs}`);
  const path = join(cwd, 'a.owjob');
  const broken = ['--fault', 'wire-a=open', ...sim];
  expect((await cli(cwd, ['run', guide, ...broken, '--revision', 'A', '--record', path])).code).toBe(1);
  failed = readFileSync(path);
  expect((await cli(cwd, ['addendum', path, '--why', 'the wire arrived', ...broken, '--repair', 'first'])).code).toBe(
    0,
  );
  mended = readFileSync(path);
}, 300_000);

const put = (name: string, bytes: Uint8Array): string => {
  const path = join(cwd, name);
  writeFileSync(path, bytes);
  return path;
};
const comeBack = (path: string, ...more: string[]) =>
  cli(cwd, ['addendum', path, '--why', 'it does nothing again', '--returned', ...sim, ...more]);
const stateOf = async (path: string) => {
  const { code, terminal } = await cli(cwd, ['show', path, '--json']);
  return { code, state: (terminal.json as { state: JobState }).state };
};
const counted = async (...paths: string[]) => {
  const { terminal } = await cli(cwd, ['priors', ...paths, '--guide', guide, '--with-emulated', '--json']);
  return (terminal.json as { cases: { faults: unknown[]; why: string | null }[] }).cases;
};

describe('a part that is fitted days later', () => {
  test('makes the job repaired, signed again, for every command and for the weights', async () => {
    const path = put('later.owjob', mended);
    expect((await counted(put('before.owjob', failed)))[0]!.faults).toEqual([]);
    expect(mended.subarray(0, failed.length)).toEqual(failed);
    const { code, state } = await stateOf(path);
    expect(code).toBe(0);
    expect(state).toMatchObject({ result: 'repaired', addenda: [{ what: 'continued', why: 'the wire arrived' }] });
    expect(state.closed).not.toBeNull();
    expect(state.signed).not.toBeNull();
    expect((await counted(path))[0]!.faults).toHaveLength(1);
    const { terminal: jobs } = await cli(cwd, ['jobs', '--jobs', cwd, '--json']);
    expect(jobs.json).toContainEqual(
      expect.objectContaining({ path, result: 'repaired', verdict: 'holds', addenda: 1, open: false }),
    );
    const { code: reported, terminal } = await cli(cwd, ['report', path, '--out', '-']);
    expect(reported).toBe(0);
    expect(terminal.outLines.join('\n')).toContain('the wire arrived');
    expect((await cli(cwd, ['label', path])).terminal.outLines.join('\n')).toContain('REPAIRED');
    expect((await cli(cwd, ['export', path, '--as', 'junit'])).code).toBe(0);
  });
});

describe('a device that comes back', () => {
  test('is checked anew: nothing of the first visit stands, and its fault is no case any more', async () => {
    const path = put('back.owjob', mended);
    expect((await comeBack(path, '--fault', 'wire-a=open')).code).toBe(1);
    const { code, state } = await stateOf(path);
    expect(code).toBe(0);
    expect(state).toMatchObject({ result: 'failed', returned: { repairs: 1 } });
    expect((await counted(path))[0]!.faults).toEqual([]);
  });

  test('may only be put on record: then nothing is known of it, and it says so', async () => {
    const path = put('told.owjob', mended);
    expect((await comeBack(path, '--no-checks')).code).toBe(3);
    expect((await stateOf(path)).state).toMatchObject({ result: 'inconclusive' });
    expect((await cli(cwd, ['verify', path])).code).toBe(0);
  });
});

describe('nothing is added', () => {
  test('to an open job, to one that does not verify, without a reason, or from a probe of the other kind', async () => {
    const path = put('refused.owjob', failed);
    const add = async (file: string, ...more: string[]) =>
      (await cli(cwd, ['addendum', file, '--no-checks', ...more])).code;
    expect(await add(path, '--why', ' ', ...sim)).toBe(2);
    expect(await add(path, '--why', 'x')).toBe(2);
    expect(readFileSync(path)).toEqual(failed);
    put('refused.owjob', Buffer.from(failed.toString('utf8').replace('wire-a', 'wire-b')));
    expect(await add(path, '--why', 'x', ...sim)).toBe(6);
    const lines = failed.toString('utf8').split('\n');
    const open = put('open.owjob', Buffer.from(`${lines.slice(0, 3).join('\n')}\n`));
    expect(await add(open, '--why', 'x', ...sim)).toBe(6);
    expect(readFileSync(open, 'utf8').split('\n')).toHaveLength(4);
  });
});
