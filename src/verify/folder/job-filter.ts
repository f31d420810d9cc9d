import type { JobSummary } from './job-summary.ts';

/**
 * What a person looks for; each part that is given has to hold. Texts are found anywhere in theirs,
 * whatever the case.
 */
export interface JobFilter {
  /** In maker, name, revision or serial number. */
  model?: string;
  ticket?: string;
  /** A unit's id. */
  unit?: string;
  /** A result, or `open`. */
  outcome?: string;
  /** Only jobs that are still open. */
  open?: boolean;
  /** Days as YYYY-MM-DD, both included: of the latest entry, by the clock that is asked. */
  since?: string;
  until?: string;
}

/**
 * Returns whether a job is one of those that are looked for. `dayOf` tells the day of a time (ISO
 * 8601, UTC) where the person is.
 */
export function isWanted(job: JobSummary, filter: JobFilter, dayOf: (iso: string) => string): boolean {
  const { model, ticket, unit, outcome, open, since, until } = filter;
  const day = job.lastAt === null ? '' : dayOf(job.lastAt);
  const deviceText = Object.values(job.device ?? {}).join(' ');
  return (
    (model === undefined || has(deviceText, model)) &&
    (ticket === undefined || has(job.ticket ?? '', ticket)) &&
    (unit === undefined || job.units.includes(unit)) &&
    (outcome === undefined || outcome === (job.open ? 'open' : job.result)) &&
    (open !== true || job.open) &&
    (since === undefined || day >= since) &&
    (until === undefined || (day !== '' && day <= until))
  );
}

function has(text: string, part: string): boolean {
  return text.toLowerCase().includes(part.toLowerCase());
}
