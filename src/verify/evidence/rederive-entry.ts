import type { Calibration } from '../../measure/types.ts';
import type { Entry } from '../../record/entries/entries.ts';
import { type ByKind, isAttempt, ofKind } from '../../record/kinds/stored-kinds.ts';
import { rederiveLook, rederivePresses, rederiveProof, rederiveReading } from './rederive.ts';
import { rederiveBridge } from './rederive-bridge.ts';
import type { Rederivation } from './rederive-reading.ts';
import { rederiveDryNormal, rederiveSteady } from './rederive-touches.ts';

/** How the evidence of a check of each kind is worked out again. */
const again: ByKind<Rederivation, [Calibration | null, boolean]> = {
  resistance: rederiveReading,
  voltage: rederiveReading,
  look: rederiveLook,
  presses: rederivePresses,
  bridge: rederiveBridge,
  'dry-normal': rederiveDryNormal,
  steady: rederiveSteady,
};

/**
 * Returns what an entry says against what its own codes give; null for an entry without evidence.
 * `calibration` null: it is missing. `isLossy`: readings were lost since the evidence before it.
 */
export function rederiveEntry(entry: Entry, calibration: Calibration | null, isLossy = false): Rederivation | null {
  if (entry.kind === 'proof') return rederiveProof(entry, calibration);
  return isAttempt(entry) ? ofKind(again, entry, calibration, isLossy) : null;
}
