import { readingOf } from '../../../checks/judge-reading.ts';
import type { CaptureWindow, ContactSummary, Reading } from '../../../measure/types.ts';
import type { StoredCapture, StoredReading } from '../../../record/entries/entries.ts';
import type { Settled } from '../../job/attempt-progress.ts';
import type { JobStep } from '../../job/job-step.ts';

/**
 * A window that was taken, by itself or by the button, and its reading where the contact has told
 * it.
 */
export interface Taken {
  window: CaptureWindow;
  contact: ContactSummary;
  by: 'settled' | 'button';
  reading?: Reading;
}

/**
 * Returns a window with what it reads under the calibration in force; worked out only where it was
 * not already.
 */
export function settledOf(step: JobStep, taken: Taken): Settled {
  const { window, contact, by } = taken;
  return { window, contact, by, reading: readingOf(taken, step.state.probe!.calibration) };
}

/**
 * Returns the raw side of the evidence as stored: codes, contact, probe and calibration; null when
 * nothing was captured.
 */
export function captureOf(step: JobStep, settled: Pick<Settled, 'window' | 'contact'>): StoredCapture;
export function captureOf(step: JobStep, settled: Pick<Settled, 'window' | 'contact'> | null): StoredCapture | null;
export function captureOf(step: JobStep, settled: Pick<Settled, 'window' | 'contact'> | null): StoredCapture | null {
  if (settled === null) return null;
  const { window, contact } = settled;
  const { identity, calibration } = step.state.probe!;
  return { window, contact, probeSerial: identity.probeSerial, calibration: calibration.id };
}

/** Returns a reading as stored. */
export function storedReading(reading: Reading): StoredReading;
export function storedReading(reading: Reading | null): StoredReading | null;
export function storedReading(reading: Reading | null): StoredReading | null {
  if (reading === null) return null;
  const { value, u, dof, state } = reading;
  return { value, u, dof, state };
}

/**
 * Returns a reading as stored with the parts of its uncertainty: for single readings, not for each
 * of a run of presses.
 */
export function storedBudget(reading: Reading | null): StoredReading | null {
  if (reading === null) return null;
  return { ...storedReading(reading), parts: Object.fromEntries(reading.parts.map(({ name, u }) => [name, u])) };
}
