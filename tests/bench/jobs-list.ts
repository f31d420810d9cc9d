import { mkdtempSync, readFileSync, rmSync, utimesSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { isWanted } from '../../src/verify/folder/job-filter.ts';
import { listJobs } from '../../src/verify/folder/list-jobs.ts';
import type { Measured } from './benchmark.ts';

export const name = 'jobs-list';
export const claim = "the time to list and filter 10,000 records by the folder's index, against two seconds";

const records = 10_000;
const secret = Buffer.from('a secret for this benchmark');
const sample = fileURLToPath(new URL('../../examples/field-recorder.owjob', import.meta.url));

/** Returns the time of one listing with the index, and that of making it on a tenth of the records. */
export async function measure(): Promise<Measured> {
  const dir = mkdtempSync(join(tmpdir(), 'ohmwright-list-'));
  try {
    const bytes = readFileSync(sample);
    const hourAgo = Date.now() / 1000 - 3600;
    const put = (at: number): void => {
      const path = join(dir, `job-${at}.owjob`);
      writeFileSync(path, bytes);
      utimesSync(path, hourAgo, hourAgo);
    };
    for (let at = 0; at < records / 10; at++) put(at);
    const coldStartMs = performance.now();
    await listJobs(dir, Date.now(), secret);
    const coldMs = performance.now() - coldStartMs;
    for (let at = records / 10; at < records; at++) put(at);
    await listJobs(dir, Date.now(), secret);
    const warmStartMs = performance.now();
    const found = (await listJobs(dir, Date.now(), secret)).filter((job) =>
      isWanted(job, { outcome: 'failed', model: 'wren' }, (iso) => iso.slice(0, 10)),
    );
    const warmS = (performance.now() - warmStartMs) / 1000;
    if (found.length !== records) throw new Error(`${found.length} of ${records} were found`);
    return {
      figures: [{ what: 'seconds for 10,000 records', value: warmS, sense: 'at most', target: 2 }],
      work: { found: found.length, recordBytes: bytes.length },
      numbers: { warmS, coldMsARecord: coldMs / (records / 10) },
    };
  } finally {
    rmSync(dir, { recursive: true, force: true });
  }
}
