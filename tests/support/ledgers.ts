import { existsSync, readFileSync, renameSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { PGlite } from '@electric-sql/pglite';
import type { NewEntry } from '../../src/record/entries/entries.ts';
import { chainOf, opened, wholeJob } from './sample-job.ts';

export const packedDatabase = join(tmpdir(), `ohmwright-tests-empty-database-${process.getuid?.() ?? 0}-0.5.17.tar.gz`);

/** Returns an empty embedded database, which is made once on this machine: that takes seconds. */
export async function emptyDatabase(): Promise<Blob> {
  if (!existsSync(packedDatabase)) {
    const engine = await PGlite.create();
    const made = await engine.dumpDataDir('gzip');
    await engine.close();
    const own = `${packedDatabase}.${process.pid}`;
    writeFileSync(own, Buffer.from(await made.arrayBuffer()));
    renameSync(own, packedDatabase);
  }
  return new Blob([readFileSync(packedDatabase)]);
}

/** What is said of a job that is made up for a test. */
export interface MadeJob {
  job?: string;
  serial?: string;
  technician?: string;
  symptom?: string;
  startMs?: number;
  /** So many of its entries; all if not given. */
  entries?: number;
  /** Another way after so many entries: what stands there is a note. */
  forkAt?: number;
}

/** Returns the bytes of a job's record that verifies: not on the emulated probe, not signed. */
export function madeRecord({ job = '2031-05-17-abcdef', startMs, entries, forkAt, ...told }: MadeJob = {}): Buffer {
  const { serial, ...rest } = told;
  const device = { ...opened.device, ...(serial === undefined ? {} : { serial }) };
  const all: NewEntry[] = wholeJob().map((entry) =>
    entry.kind === 'opened' ? { ...entry, ...rest, device, job } : entry,
  );
  const forked =
    forkAt === undefined ? all : [...all.slice(0, forkAt), { kind: 'note', text: 'another way' } as NewEntry];
  return chainOf(forked.slice(0, entries), startMs).bytes;
}
