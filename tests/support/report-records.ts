import { writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import type { NewEntry } from '../../src/record/entries/entries.ts';
import { type ReadResult, readRecord } from '../../src/record/store/read-record.ts';
import { type ReportData, reportData } from '../../src/report/report-data.ts';
import { chainOf } from './sample-job.ts';
import { scratch } from './scratch.ts';

/** Returns a record of these entries, as it is read from a file. */
export async function recordOf(entries: NewEntry[]): Promise<ReadResult> {
  const path = join(scratch(), 'a.owjob');
  await writeFile(path, chainOf(entries).bytes);
  return readRecord(path);
}

/** Returns what a report of these entries shows. */
export async function dataOf(entries: NewEntry[]): Promise<ReportData> {
  const data = reportData(await recordOf(entries));
  if (data === null) throw new Error('the entries open no job');
  return data;
}
