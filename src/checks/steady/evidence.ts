import type { HoldSpan } from '../../measure/judge/hold-span.ts';
import type { ContactSummary, Outcome } from '../../measure/types.ts';
import { type EvidenceOf, type Measured, measuredOf, type ReadingNumber } from '../evidence.ts';

/** What of a held touch is evidence. */
export interface HoldAttempt {
  check: string;
  outcome: Outcome;
  /** The settled one. */
  reading: ReadingNumber | null;
  hold: { dropOuts: ContactSummary['dropOuts'] } | null;
  span: HoldSpan | null;
  maxDropOuts: number;
  maxWander: number;
}

/**
 * Returns what a held touch says. A hold that was cut short by the hand tells nothing of
 * steadiness; one that never settled does.
 */
export function steadyEvidence(attempt: HoldAttempt): EvidenceOf<'steady'> | null {
  const { check, hold, span, maxDropOuts, maxWander, outcome } = attempt;
  const reading = whileClosed(attempt);
  const opened = hold === null ? 0 : hold.dropOuts.count + hold.dropOuts.subReading;
  const unsteady = hold === null ? outcome === 'unsteady' : opened > maxDropOuts || (span?.wander ?? 0) > maxWander;
  if (hold !== null && outcome === 'unsteady') return null;
  if (reading === null && !unsteady) return null;
  return { check, kind: 'steady', quantity: 'resistance', reading, unsteady };
}

/**
 * Usual uncertainty of the middle of what a restless path read while closed, relative (our choice;
 * common practice, no source).
 */
const unsteadyShare = 0.1;

/**
 * The settled reading; of a touch that met an opening when it was read, what the path read in the
 * middle while it was closed.
 */
function whileClosed({ reading, span }: HoldAttempt): Measured | null {
  if (span === null || reading?.state === 'in-range') return measuredOf(reading);
  return { value: span.medianOhm, u: unsteadyShare * Math.abs(span.medianOhm), state: 'in-range' };
}
