import type { Evidence } from '../../checks/evidence.ts';
import { checkKinds } from '../../checks/registry.ts';
import { type AttemptEntry, type ByKind, ofKind } from '../entries/stored-kinds.ts';

/** What an attempt of each kind says, as the kind itself has it. */
const saidBy: ByKind<Evidence | null> = {
  resistance: checkKinds.resistance.evidence,
  voltage: checkKinds.voltage.evidence,
  look: checkKinds.look.evidence,
  presses: checkKinds.presses.evidence,
  bridge: checkKinds.bridge.evidence,
  'dry-normal': checkKinds['dry-normal'].evidence,
  steady: checkKinds.steady.evidence,
};

/**
 * Returns what an attempt says about the device; null when it says nothing: no contact, a voltage
 * on the tips, a hand that slipped.
 */
export function evidenceOf(entry: AttemptEntry): Evidence | null {
  return entry.outcome === 'no-contact' || entry.outcome === 'live' ? null : ofKind(saidBy, entry);
}
