import type { ContactSummary } from '../types.ts';
import type { HeldTouch } from './held-touch.ts';

/**
 * A touch from its first make on. JSON-able; changed in place by its owner. Times on the probe's
 * clock.
 */
export interface Touch {
  firstUs: number;
  /** The last reading with contact. */
  lastContactUs: number;
  absentSinceUs: number | null;
  /** Contact and a closed path, as of the last reading. */
  joined: boolean;
  makes: number;
  /** Start of the last break that a make followed. */
  lastBreakUs: number | null;
  /** Start of a break that no make has followed yet: it may be the lift. */
  openBreakUs: number;
  /**
   * From here the time to settle is counted: the first make, or the end of a spell that could not
   * be measured.
   */
  settleFromUs: number;
  /** Start of the present steadiness. */
  steadySinceUs: number | null;
  settledUs: number | null;
  nextProgressUs: number;
  seated: boolean;
  held: HeldTouch | null;
}

/** Returns a touch that begins with the reading at `tUs`. */
export function beginTouch(tUs: number, joined: boolean, seated: boolean): Touch {
  return {
    firstUs: tUs,
    lastContactUs: tUs,
    absentSinceUs: null,
    joined,
    makes: joined ? 1 : 0,
    lastBreakUs: null,
    openBreakUs: tUs,
    settleFromUs: tUs,
    steadySinceUs: null,
    settledUs: null,
    nextProgressUs: tUs,
    seated,
    held: null,
  };
}

/**
 * Counts makes and breaks before settling; returns whether there was one. `brokeUs`: when the path
 * opened, if it did.
 */
export function noteJoined(touch: Touch, joined: boolean, blip: boolean, tUs: number, brokeUs: number): boolean {
  const changed = joined !== touch.joined;
  if (changed && !joined) touch.openBreakUs = Math.min(brokeUs, tUs);
  if (!changed && joined && blip) touch.openBreakUs = brokeUs;
  if (joined && (changed || blip)) {
    if (touch.makes > 0) touch.lastBreakUs = Math.max(touch.firstUs, touch.openBreakUs);
    touch.makes++;
  }
  touch.joined = joined;
  return changed || blip;
}

/** Returns the touch in numbers, up to `untilUs`. */
export function summarizeTouch(touch: Touch, untilUs: number): ContactSummary {
  return {
    touchUs: untilUs - touch.firstUs,
    // an open with seated tips never joins; it was touched once all the same
    makes: Math.max(1, touch.makes),
    bounceUs: touch.lastBreakUs === null ? 0 : touch.lastBreakUs - touch.firstUs,
    dropOuts: { ...(touch.held?.dropOuts ?? { count: 0, longestUs: 0, totalUs: 0, subReading: 0 }) },
    settleUs: touch.settledUs === null ? 0 : touch.settledUs - touch.firstUs,
    seated: touch.seated,
  };
}

/** Returns a copy that shares nothing with the original. */
export function copyTouch(touch: Touch): Touch {
  const { held } = touch;
  if (held === null) return { ...touch };
  return { ...touch, held: { ...held, dropOuts: { ...held.dropOuts }, recent: { ...held.recent } } };
}
