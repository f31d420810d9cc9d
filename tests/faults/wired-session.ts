import { readFileSync } from 'node:fs';
import { parseGuide } from '../../src/checks/guides.ts';
import { shortGuide } from '../support/scratch.ts';
import { type VirtualJob, type VirtualOutcome, virtualJob } from '../support/virtual-job.ts';

/** A job of the short guide on the emulated probe behind a wire that may be bad. */
export type WiredJob = Pick<VirtualJob, 'seed' | 'faults' | 'rates' | 'prepare' | 'onState'>;

/** What it came to. */
export interface WiredOutcome extends VirtualOutcome {
  /** Outcome of every attempt at a check, as `check outcome`. */
  attempts: string[];
  /** What stands of every check, in the guide's order. */
  verdicts: Record<string, string | null>;
}

/** Runs a job of the short guide to its end, in virtual time, with hands that do as they are told. */
export async function wiredJob(job: WiredJob): Promise<WiredOutcome> {
  const text = readFileSync(shortGuide, 'utf8');
  const parsed = parseGuide(text, shortGuide);
  if (!parsed.ok) throw new Error(JSON.stringify(parsed.problems));
  const outcome = await virtualJob({ ...job, guide: { guide: parsed.guide, text } });
  const { entries, state } = outcome;
  return {
    ...outcome,
    attempts: entries.flatMap((entry) =>
      entry.kind === 'capture' || entry.kind === 'observation' ? [`${entry.check} ${entry.outcome}`] : [],
    ),
    verdicts: Object.fromEntries(Object.values(state.job.checks).map(({ id, outcome }) => [id, outcome])),
  };
}
