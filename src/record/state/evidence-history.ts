import type { Evidence } from '../../checks/evidence.ts';
import type { Outcome } from '../../measure/types.ts';
import { repairsNow } from './addendum.ts';
import type { CheckState, JobState } from './job-state.ts';

/** An attempt that counts, by the number of its entry, and what it says. */
export interface Counted {
  n: number;
  evidence: Evidence;
}

/**
 * Returns the attempts that say something of the device after so many repairs, in the order in
 * which they were recorded: of each check the latest that was not withdrawn, and unsteady ones
 * before it, for a loose contact may hold still at times. Other tries of the same touch add nothing
 * to the latest one.
 */
export function attemptsThatCount(job: JobState, repairs: number): Counted[] {
  return Object.values(job.checks)
    .filter(({ inGuide }) => inGuide)
    .flatMap((check) => countedOf(check, repairs))
    .sort((a, b) => a.n - b.n);
}

/**
 * Returns the same of every stretch between repairs since the device came back last: what was before
 * any repair first, what holds now last.
 */
export function evidenceByRepair(job: JobState): Counted[][] {
  const from = job.returned?.repairs ?? 0;
  return Array.from({ length: repairsNow(job).length + 1 }, (_, i) => attemptsThatCount(job, from + i));
}

function countedOf({ attempts, withdrawn }: CheckState, repairs: number): Counted[] {
  const said = attempts.slice(withdrawn).flatMap(({ n, evidence, repairs: of }) => {
    return evidence === null || of !== repairs ? [] : [{ n, evidence }];
  });
  return said.filter(({ evidence }, i) => i === said.length - 1 || isUnsteady(evidence));
}

function isUnsteady(evidence: Evidence): boolean {
  return 'unsteady' in evidence && evidence.unsteady;
}

/**
 * Returns the outcome of every check as it stands, and of the unsteady touches before it that
 * count: a job in which a contact wandered did not only pass.
 */
export function outcomesThatCount(job: JobState): Outcome[] {
  const standing = Object.values(job.checks).flatMap(({ outcome }) => outcome ?? []);
  const wandered = evidenceByRepair(job)
    .at(-1)!
    .filter(({ evidence }) => isUnsteady(evidence));
  return [...standing, ...wandered.map((): Outcome => 'unsteady')];
}

/** Returns the checks that were attempted more than once since the last repair. */
export function checksDoneAgain(job: JobState): string[] {
  return Object.values(job.checks)
    .filter(({ attempts }) => {
      const from = job.returned?.n ?? 0;
      return attempts.filter(({ n, repairs }) => n > from && repairs === job.repairs.length).length > 1;
    })
    .map(({ id }) => id);
}

/** A repair, or a unit that was swapped, after so many pieces of the evidence. */
export type PastRepair = { after: number } & ({ repair: string } | { unit: string });

/**
 * Returns everything that a record says of the device, and after how much of it each repair was
 * done.
 */
export function historyOf(job: JobState): { evidence: Evidence[]; repaired: PastRepair[] } {
  const evidence: Evidence[] = [];
  const repaired: PastRepair[] = [];
  evidenceByRepair(job).forEach((stretch, i) => {
    evidence.push(...stretch.map((one) => one.evidence));
    const done = repairsNow(job)[i];
    const after = evidence.length;
    if (done?.unit != null) repaired.push({ unit: done.unit, after });
    else if (done?.repair != null) repaired.push({ repair: done.repair, after });
  });
  return { evidence, repaired };
}
