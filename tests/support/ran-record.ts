import { readFile, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { cli } from './command-line.ts';
import { scratch, shortGuide } from './scratch.ts';

const ran = new Map<string, Promise<Buffer>>();

/** Writes the record of a job that is run once for all tests of the process, healthy or with faults; returns its path. */
export async function ranRecord(folder: string, name: string, ...faults: string[]): Promise<string> {
  const key = faults.join(' ');
  const made = ran.get(key) ?? runOnce(faults);
  ran.set(key, made);
  const path = join(folder, name);
  await writeFile(path, await made);
  return path;
}

async function runOnce(faults: string[]): Promise<Buffer> {
  const folder = scratch();
  const record = join(folder, 'made.owjob');
  const args = ['run', shortGuide, '--order', 'guide', '--port', 'sim:', '--revision', 'A', '--record', record];
  await cli(folder, [...args, ...faults.flatMap((fault) => ['--fault', fault])]);
  return readFile(record);
}
