import type { EvidenceOf } from '../evidence.ts';
import { readingEvidence, type TouchAttempt } from '../reading-evidence.ts';

/** Returns what a touch says about the device in ohm; null when it says nothing. */
export function resistanceEvidence(attempt: TouchAttempt): EvidenceOf<'resistance'> | null {
  return readingEvidence('resistance', attempt);
}
