import type { Evidence } from '../isolate/types.ts';
import type { CheckState, JobState } from '../job/job-state.ts';

/** An attempt that counts, by the number of its entry, and what it says. */
export interface Counted {
  n: number;
  evidence: Evidence;
}

/**
 * Returns the attempts that say something of the device after so many repairs, in the order in which they were recorded: of each check
 * the latest that was not withdrawn, and unsteady ones before it, for a loose contact may hold still at times. Other tries of
 * the same touch add nothing to the latest one.
 */
export function attemptsThatCount(job: JobState, repairs: number): Counted[] {
  return Object.values(job.checks)
    .filter(({ inGuide }) => inGuide)
    .flatMap((check) => countedOf(check, repairs))
    .sort((a, b) => a.n - b.n);
}

/** Returns the same of every stretch between repairs: what was before any repair first, what holds now last. */
export function evidenceByRepair(job: JobState): Counted[][] {
  return Array.from({ length: job.repairs.length + 1 }, (_, repairs) => attemptsThatCount(job, repairs));
}

function countedOf({ attempts, withdrawn }: CheckState, repairs: number): Counted[] {
  const said = attempts.slice(withdrawn).flatMap(({ n, evidence, repairs: of }) => {
    return evidence === null || of !== repairs ? [] : [{ n, evidence }];
  });
  return said.filter(({ evidence }, i) => i === said.length - 1 || isUnsteady(evidence));
}

function isUnsteady(evidence: Evidence): boolean {
  return evidence.kind === 'reading' && evidence.unsteady;
}
