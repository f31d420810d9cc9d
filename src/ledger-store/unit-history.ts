import { serialKey } from '../ledger/rows/bounded-text.ts';
import { type ListedJob, type UnitEvent, unitEvents, unitJobs } from '../ledger/sql/questions.ts';
import type { Queries } from './database.ts';

/** One job of a unit, with what was found and done in it. */
export interface PastJob extends ListedJob {
  events: { act: string; unit: string; helped: boolean }[];
}

/** Returns the jobs of a unit, latest first; none for a unit without a serial number. */
export async function unitHistory(asked: Queries, serial: string, emulated: boolean): Promise<PastJob[]> {
  const key = serialKey(serial);
  if (key === '') return [];
  const jobs = await asked.query<ListedJob>(unitJobs(key, emulated));
  const events = await asked.query<UnitEvent>(unitEvents(key, emulated));
  return jobs.map((job) => ({
    ...job,
    events: events
      .filter(({ record_id }) => record_id === job.record_id)
      .map(({ act, unit, helped }) => ({ act, unit, helped })),
  }));
}
