import type { Outcome } from '../../measure/types.ts';
import { type EvidenceOf, measuredOf, type ReadingNumber } from '../evidence.ts';

/** What of a try at a bridge is evidence. */
export interface BridgeAttempt {
  check: string;
  outcome: Outcome;
  proven: boolean;
  respondedBefore: boolean;
  answer: 'yes' | 'no' | 'unsure' | null;
  idle: { reading: ReadingNumber } | null;
}

/** Returns what a try at a bridge says about the device. */
export function bridgeEvidence(attempt: BridgeAttempt): EvidenceOf<'bridge'> {
  const { check, outcome, proven, respondedBefore } = attempt;
  // a response of before the closure is no answer to it, and an idle voltage that did not settle is
  // no reading
  const answer = respondedBefore ? 'unsure' : (attempt.answer ?? 'unsure');
  const idle = outcome === 'unsteady' ? null : measuredOf(attempt.idle?.reading ?? null);
  return { check, kind: 'bridge', proven, idle, answer };
}
