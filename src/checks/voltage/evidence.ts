import type { EvidenceOf } from '../evidence.ts';
import { readingEvidence, type TouchAttempt } from '../reading-evidence.ts';

/** Returns what a touch says about the device in volt; null when it says nothing. */
export function voltageEvidence(attempt: TouchAttempt): EvidenceOf<'voltage'> | null {
  return readingEvidence('voltage', attempt);
}
