import { readWindow } from '../../measure/reading/read-window.ts';
import type { Calibration, Outcome } from '../../measure/types.ts';
import type { Entry, ProofKind, ProofWhen } from '../entries/entries.ts';

/** One proof of a probe as it was recorded. */
export interface PastProof {
  job: string;
  at: string;
  when: ProofWhen;
  what: ProofKind;
  outcome: Outcome;
  /** Null where nothing could be read. */
  ohm: number | null;
  /**
   * Spread that the reading's own codes explain, standard uncertainty of its mean in ohm; 0 where
   * nothing could be read.
   */
  uRepeatOhm: number;
  probeSerial: number;
  /** The calibration that it was read with. */
  calibration: Calibration;
}

/** Parts of a reading's uncertainty that differ from one touch to the next. */
const fromTouchToTouch = ['repeatability', 'rounding'];

/**
 * Returns the proofs that stand in a record's entries, in their order. A proof without a capture
 * has the probe and calibration before it; one before any probe is left out.
 */
export function proofsIn(entries: readonly Entry[]): PastProof[] {
  const proofs: PastProof[] = [];
  const calibrations = new Map<string, Calibration>();
  let job = '?';
  let current: { probeSerial: number; calibration: Calibration } | null = null;
  for (const entry of entries) {
    if (entry.kind === 'opened') job = entry.job;
    if (entry.kind === 'probe') {
      calibrations.set(entry.calibration.id, entry.calibration);
      current = { probeSerial: entry.identity.probeSerial, calibration: entry.calibration };
    }
    if (entry.kind !== 'proof' || current === null) continue;
    const { capture, reading, at, when, what, outcome } = entry;
    const probeSerial = capture?.probeSerial ?? current.probeSerial;
    const calibration = (capture === null ? null : calibrations.get(capture.calibration)) ?? current.calibration;
    const parts = capture === null ? [] : readWindow(capture.window, calibration).parts;
    const varying = parts.filter(({ name }) => fromTouchToTouch.includes(name)).map(({ u }) => u);
    const ohm = reading?.state === 'in-range' ? reading.value : null;
    proofs.push({ job, at, when, what, outcome, ohm, uRepeatOhm: Math.hypot(...varying), probeSerial, calibration });
  }
  return proofs;
}
