import type { CheckKindName } from '../guide/types.ts';
import type { Quantity, Reading } from '../measure/types.ts';

/** A number with its standard uncertainty, in ohm or volt; `above-range`: `value` is a bound. */
export interface Measured {
  value: number;
  u: number;
  state: Reading['state'];
}

/**
 * Ohms or volts; `unsteady`: it dropped out or wandered, the number is what was seen of it (null:
 * nothing settled).
 */
interface NumberShown {
  quantity: Quantity;
  reading: Measured | null;
  unsteady: boolean;
}

/** What an attempt at a check of each kind says about the device, by the kind's name. */
interface ShownBy {
  resistance: NumberShown;
  voltage: NumberShown;
  steady: NumberShown;
  /** The same touch at the dry and at the normal level, in ohm. */
  'dry-normal': { dry: Measured; normal: Measured };
  /**
   * Closures of a key: typical closed resistance (null: none closed), bad ones of all that were
   * asked for.
   */
  presses: { closed: Measured | null; bad: number; count: number };
  /** Answered by a person who looked. */
  look: { answer: 'yes' | 'no' | 'unsure' };
  /**
   * The device's answer to a bridge; says nothing unless `proven` (the closure was shown to
   * conduct).
   */
  bridge: { proven: boolean; idle: Measured | null; answer: 'yes' | 'no' | 'unsure' };
}

// a kind that is missing above is named here, and nowhere else
type Complete<T extends Record<CheckKindName, object>> = T;
type Shown = Complete<ShownBy>;

/** What one attempt at a check of one kind says about the device. */
export type EvidenceOf<K extends CheckKindName> = {
  [N in K]: { check: string; kind: N } & (N extends keyof Shown ? Shown[N] : never);
}[K];

/**
 * What one attempt at a check says about the device. Plain data; made from a record's attempts, or
 * typed by hand.
 */
export type Evidence = EvidenceOf<CheckKindName>;

/** What a single reading says, of whichever kind of check. */
export type ReadingEvidence = EvidenceOf<'resistance' | 'voltage' | 'steady'>;

/** A reading as far as evidence looks at it. */
export type ReadingNumber = Pick<Reading, 'value' | 'u' | 'state'>;

/** Returns a reading as evidence; null for none, and for one that says nothing. */
export function measuredOf(reading: ReadingNumber | null): Measured | null {
  if (reading === null || reading.state === 'unreadable') return null;
  const { value, u, state } = reading;
  return { value, u, state };
}
