import type { Outcome, Quantity } from '../measure/types.ts';
import { type EvidenceOf, measuredOf, type ReadingNumber } from './evidence.ts';

/** What of a touch's attempt is evidence. */
export interface TouchAttempt {
  check: string;
  outcome: Outcome;
  reading: ReadingNumber | null;
}

/**
 * Returns what a touch says about the device: its reading, and whether it was unsteady; null when
 * it says nothing.
 */
export function readingEvidence<K extends Quantity>(
  kind: K,
  { check, outcome, reading }: TouchAttempt,
): EvidenceOf<K> | null {
  const unsteady = outcome === 'unsteady';
  const measured = measuredOf(reading);
  if (measured === null && !unsteady) return null;
  return { check, kind, quantity: kind, reading: measured, unsteady } as EvidenceOf<K>;
}
