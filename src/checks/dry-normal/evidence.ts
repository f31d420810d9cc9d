import type { Outcome } from '../../measure/types.ts';
import { type EvidenceOf, measuredOf, type ReadingNumber } from '../evidence.ts';

/** What of a touch at two levels is evidence. */
export interface LevelsAttempt {
  check: string;
  outcome: Outcome;
  dry: { reading: ReadingNumber } | null;
  normal: { reading: ReadingNumber } | null;
}

/**
 * Returns what a touch at two levels says about the device; null where it did not settle at both.
 */
export function dryNormalEvidence(attempt: LevelsAttempt): EvidenceOf<'dry-normal'> | null {
  const dry = measuredOf(attempt.dry?.reading ?? null);
  const normal = measuredOf(attempt.normal?.reading ?? null);
  if (dry === null || normal === null || attempt.outcome === 'unsteady') return null;
  return { check: attempt.check, kind: 'dry-normal', dry, normal };
}
