import { isTooMuchLost } from '../../measure/judge/lost-readings.ts';
import type { JobStep } from '../job/job-step.ts';
import type { Taken } from './kinds/evidence-parts.ts';

/** Returns why nothing is decided on a touch of which too many readings were lost; null: it may be. */
export function troubleOfLost(
  { run }: JobStep,
  { window, contact }: Taken,
): { outcome: 'unsteady'; why: string } | null {
  const { lost } = run;
  if (!isTooMuchLost(lost, contact.touchUs, window.periodUs)) return null;
  return { outcome: 'unsteady', why: lostWords(lost) };
}

/** Why nothing is decided where so many readings are missing; infinite: how many is not known. */
export function lostWords(lost: number): string {
  const some = Number.isFinite(lost) ? `${lost} of its readings` : 'some of its readings';
  return `${some} did not arrive: what happened meanwhile is not known`;
}
