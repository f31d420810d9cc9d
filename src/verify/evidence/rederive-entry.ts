import type { CheckKindName } from '../../guide/types.ts';
import type { Calibration } from '../../measure/types.ts';
import type { Entry } from '../../record/entries/entries.ts';
import { type AttemptEntry, checkKindOf, isAttempt, type StoredOf } from '../../record/kinds/stored-kinds.ts';
import type { VerifyReport } from '../verify-report.ts';
import { rederiveLook, rederivePresses, rederiveProof, rederiveReading } from './rederive.ts';
import { rederiveBridge } from './rederive-bridge.ts';
import type { Rederivation } from './rederive-reading.ts';
import { rederiveDryNormal, rederiveSteady } from './rederive-touches.ts';

/** What `verify` knows of a kind of check. */
interface VerifiedKind<E> {
  /** Under which of the report's counters its attempts stand. */
  counter: keyof VerifyReport['counters'];
  /** Works its evidence out again. */
  again(entry: E, calibration: Calibration | null, isLossy: boolean): Rederivation;
}

const verifiedKinds: { readonly [K in CheckKindName]: VerifiedKind<StoredOf<K>> } = {
  resistance: { counter: 'captures', again: rederiveReading },
  voltage: { counter: 'captures', again: rederiveReading },
  look: { counter: 'observations', again: rederiveLook },
  presses: { counter: 'presses', again: rederivePresses },
  bridge: { counter: 'bridges', again: rederiveBridge },
  'dry-normal': { counter: 'levels', again: rederiveDryNormal },
  steady: { counter: 'holds', again: rederiveSteady },
};

function verifiedKindOf(entry: AttemptEntry): VerifiedKind<AttemptEntry> {
  return verifiedKinds[checkKindOf(entry)] as VerifiedKind<AttemptEntry>;
}

/** Returns under which of the report's counters an entry stands; null for one without evidence. */
export function counterOf(entry: Entry): keyof VerifyReport['counters'] | null {
  if (entry.kind === 'proof') return 'proofs';
  return isAttempt(entry) ? verifiedKindOf(entry).counter : null;
}

/**
 * Returns what an entry says against what its own codes give; null for an entry without evidence.
 * `calibration` null: it is missing. `isLossy`: readings were lost since the evidence before it.
 */
export function rederiveEntry(entry: Entry, calibration: Calibration | null, isLossy = false): Rederivation | null {
  if (entry.kind === 'proof') return rederiveProof(entry, calibration);
  return isAttempt(entry) ? verifiedKindOf(entry).again(entry, calibration, isLossy) : null;
}
