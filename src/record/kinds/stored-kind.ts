import type { Evidence } from '../../checks/evidence.ts';
import type { CaptureWindow, Quantity } from '../../measure/types.ts';
import type { EntryKind, EntryOf } from '../entries/entries.ts';
import type { AttemptResult } from '../state/job-state.ts';

/** Which probe took the raw codes of an entry, and under which calibration. */
export interface Source {
  probeSerial: number;
  calibration: string;
}

/** A window of raw codes of an attempt. */
export interface StoredWindow {
  window: CaptureWindow;
  quantity: Quantity;
  /** Id of the calibration that it is read by. */
  calibration: string;
  /** What it shows, where an attempt has several; null elsewhere. */
  part: string | null;
}

/** What a record knows of attempts at checks of one kind, by the entry that stores them. */
export interface StoredKind<K extends EntryKind> {
  /** How such an entry is called. Records keep this name for ever. */
  entry: K;
  /** The probe measured it; false for what only a person saw. */
  isMeasured: boolean;
  /** Returns where its raw codes come from; null where no codes stand. */
  source(entry: EntryOf<K>): Source | null;
  /** Returns what a list of attempts shows of it. */
  shown(entry: EntryOf<K>): Pick<AttemptResult, 'reading' | 'limits' | 'why'>;
  /** Returns every window of raw codes in it, in their order. */
  windows(entry: EntryOf<K>): StoredWindow[];
  /** Returns what it says about the device, as the kind of check has it. */
  evidence(entry: EntryOf<K>): Evidence | null;
}

/** Returns the one window of a touch, of this quantity. */
export function windowOf(
  quantity: Quantity,
  capture: { window: CaptureWindow; calibration: string } | null | undefined,
  part: string | null = null,
): StoredWindow[] {
  return capture == null ? [] : [{ window: capture.window, quantity, calibration: capture.calibration, part }];
}
