import type { ReadingBatch } from '../../protocol/reading-batch.ts';
import type { Calibration, CaptureWindow, ContactHappening, ContactSettings, ContactSummary } from '../types.ts';
import { type ContactState, ContactTracker } from './contact-tracker.ts';
import { pathOpen } from './path-state.ts';

export { defaultContactSettings } from './contact-settings.ts';
export type { ContactState } from './contact-tracker.ts';

/**
 * Returns the state before the first reading. `mustLift` (default false): tips that touch already must be lifted before
 * they are captured, for starting a new check while they may still stand on the pads of the last.
 * Settings and calibration are kept by reference and must not change.
 */
export function startContact(settings: ContactSettings, calibration: Calibration, mustLift = false): ContactState {
  return {
    settings,
    calibration,
    phase: 'air',
    mustLift,
    path: { ...pathOpen },
    touch: null,
    window: null,
    stream: null,
  };
}

/**
 * Returns the state after a batch of readings and what happened in it, in order of time. Pure: the same state and batch give the
 * same answer, and neither is changed. For a long stream {@link ContactTracker} does the same without copying the state.
 */
export function stepContact(
  state: ContactState,
  batch: ReadingBatch,
): { state: ContactState; happenings: ContactHappening[] } {
  const tracker = new ContactTracker(state);
  const happenings = tracker.push(batch);
  return { state: tracker.state(), happenings };
}

/** Returns the last readings, seated or not, steady or not, for the probe's button; null when there are none. */
export function capturePressed(state: ContactState): CaptureWindow | null {
  return contactStanding(state)?.window ?? null;
}

/** Returns the last readings with the touch in numbers (all zero without a touch); null when there are none. */
export function contactStanding(state: ContactState): { window: CaptureWindow; contact: ContactSummary } | null {
  return new ContactTracker(state).standing();
}
