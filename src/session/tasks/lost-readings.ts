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
  const some = Number.isFinite(lost) ? `${lost} of its readings` : 'some of its readings';
  return { outcome: 'unsteady', why: `${some} did not arrive: what happened meanwhile is not known` };
}
