import { cp, mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterAll } from 'vitest';
import { cli } from './fake-terminal.ts';

/** The guide of tests that run whole jobs. */
export const shortGuide = fileURLToPath(new URL('../../fixtures/short-guide.yaml', import.meta.url));

const folders: string[] = [];

/** Returns a new folder that is removed when the tests of the file are over. */
export async function scratch(): Promise<string> {
  const folder = await mkdtemp(join(tmpdir(), 'ohmwright-cli-'));
  folders.push(folder);
  return folder;
}

afterAll(() => Promise.all(folders.map((folder) => rm(folder, { recursive: true, force: true }))));

const ran = new Map<string, Promise<string>>();

/** Returns a copy of the record of a job that was run once for all tests of the file: healthy, or with the faults given. */
export async function ranRecord(folder: string, name: string, ...faults: string[]): Promise<string> {
  const key = faults.join(' ');
  const made = ran.get(key) ?? runOnce(faults);
  ran.set(key, made);
  const path = join(folder, name);
  await cp(await made, path);
  return path;
}

async function runOnce(faults: string[]): Promise<string> {
  const folder = await scratch();
  const path = join(folder, 'made.owjob');
  const args = faults.flatMap((fault) => ['--fault', fault]);
  await cli(folder, [
    'run',
    shortGuide,
    '--order',
    'guide',
    '--port',
    'sim:',
    '--revision',
    'A',
    '--record',
    path,
    ...args,
  ]);
  return path;
}
