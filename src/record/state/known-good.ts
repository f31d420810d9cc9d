import type { Limits } from '../../measure/types.ts';
import type { Entry, EntryOf, StoredReading } from '../entries/entries.ts';
import type { AttemptResult, JobState } from './job-state.ts';

/** What one check of a job says of a unit that is known to be good. */
export interface KnownGood {
  check: string;
  /** Null: nothing that may be relied on, for the reason in `why`. */
  reading: StoredReading | null;
  why: string | null;
}

/** Why a check that was never tried says nothing. */
export const notDone = 'not done';

/** Returns what names the unit of a job: the device's serial number, else the job's own name. */
export function unitOf(state: JobState): string {
  return state.opened?.device.serial ?? state.job ?? '?';
}

/**
 * Returns, for every check of the guide with limits, the latest reading of a job that rests on
 * proofs that held; whether it passed does not matter, since the limits are what is in question. Of
 * a run of presses: the closed reading that the limit meets first (the largest for an upper limit,
 * the least for a lower one, the middle one for both), missed presses left out.
 */
export function knownGoodOf(state: JobState, entries: readonly Entry[]): KnownGood[] {
  return Object.values(state.checks)
    .filter(({ inGuide, kind }) => inGuide && kind !== 'look')
    .map(({ id, attempts }): KnownGood => {
      const latest = attempts.at(-1);
      if (latest === undefined) return { check: id, reading: null, why: notDone };
      const why = whyNotReliedOn(state, latest);
      if (why !== null) return { check: id, reading: null, why };
      const reading = latest.kind === 'presses' ? pressReading(entries, latest.n) : latest.reading;
      if (reading === null) return { check: id, reading, why: latest.why };
      const isValue = reading.state === 'in-range' || reading.state === 'above-range';
      return isValue
        ? { check: id, reading, why: null }
        : { check: id, reading: null, why: `it reads ${reading.state}` };
    });
}

function whyNotReliedOn(state: JobState, { span, outcome, why }: AttemptResult): string | null {
  if (outcome === 'unsteady' || outcome === 'no-contact' || outcome === 'live') return why;
  const standing = span === null ? 'missing' : (state.spans[span]?.standing ?? 'missing');
  return standing === 'held'
    ? null
    : `the proofs of the probe ${standing === 'failed' ? 'failed' : 'are not complete'}`;
}

function pressReading(entries: readonly Entry[], n: number): StoredReading | null {
  const entry = entries.find((each): each is EntryOf<'presses'> => each.n === n && each.kind === 'presses');
  if (entry === undefined) return null;
  const readings = entry.presses.flatMap(({ reading }) => (reading?.state === 'in-range' ? [reading] : []));
  return meetsFirst(readings, entry.limits);
}

function meetsFirst(readings: StoredReading[], { min, max }: Limits): StoredReading | null {
  const sorted = readings.sort((a, b) => a.value - b.value);
  if (min === undefined) return sorted.at(-1) ?? null;
  return (max === undefined ? sorted[0] : sorted[sorted.length >> 1]) ?? null;
}
