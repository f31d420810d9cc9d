import type { Calibration } from '../../measure/types.ts';
import type { Entry } from '../../record/entries/entries.ts';
import { rederiveCapture, rederiveObservation, rederivePresses, rederiveProof } from './rederive.ts';
import { rederiveBridge } from './rederive-bridge.ts';
import type { Rederivation } from './rederive-reading.ts';
import { rederiveLevels, rederiveSteady } from './rederive-touches.ts';

/** Returns what an entry says against what its own codes give; null for an entry without evidence. `calibration` null: it is missing. */
export function rederiveEntry(entry: Entry, calibration: Calibration | null): Rederivation | null {
  switch (entry.kind) {
    case 'capture':
      return rederiveCapture(entry, calibration);
    case 'proof':
      return rederiveProof(entry, calibration);
    case 'presses':
      return rederivePresses(entry, calibration);
    case 'observation':
      return rederiveObservation(entry);
    case 'bridge':
      return rederiveBridge(entry, calibration);
    case 'levels':
      return rederiveLevels(entry, calibration);
    case 'steady':
      return rederiveSteady(entry, calibration);
    default:
      return null;
  }
}
