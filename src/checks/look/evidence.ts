import type { EvidenceOf } from '../evidence.ts';

/** Returns what an answer says about the device. */
export function lookEvidence({ check, answer }: Pick<EvidenceOf<'look'>, 'check' | 'answer'>): EvidenceOf<'look'> {
  return { check, kind: 'look', answer };
}
