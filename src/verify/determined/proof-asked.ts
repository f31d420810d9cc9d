import type { proofBounds, proofRule } from '../../measure/judge/proof-bounds.ts';
import type { Calibration } from '../../measure/types.ts';
import { flagBits } from '../../protocol/table.ts';
import { canonicalJson } from '../../record/chain/canonical.ts';
import type { EntryOf } from '../../record/entries/entries.ts';
import { isClose } from '../evidence/rederive-reading.ts';
import type { Say } from '../finding.ts';

/** How proofs are decided under a number of rules. */
export interface ProofRules {
  bounds: typeof proofBounds;
  rule: typeof proofRule;
}

/**
 * Tells where a proof was held against other bounds, another rule or another mode than the
 * calibration in force asks for.
 */
export function verifyProof(proof: EntryOf<'proof'>, calibration: Calibration, due: ProofRules, say: Say): void {
  const { min, max } = due.bounds(proof.what, calibration);
  const reach = max - min;
  if (!isClose(proof.expected.min, min, reach) || !isClose(proof.expected.max, max, reach)) {
    const stands = `${proof.expected.min} to ${proof.expected.max} ohm`;
    say('proof.bounds', `${proof.what} was held against ${stands}, due is ${min} to ${max} ohm`, {
      stands: proof.expected,
      due: { min, max },
    });
  }
  if (canonicalJson(proof.rule) !== canonicalJson(due.rule))
    say('proof.bounds', `${proof.what} has another rule`, {
      stands: proof.rule,
      due: due.rule,
    });
  const bits = proof.capture?.window.flagBits ?? 0;
  if ((bits & (flagBits.voltage | flagBits.bridge)) !== 0) say('evidence.mode', `${proof.what} is no reading of ohms`);
}
