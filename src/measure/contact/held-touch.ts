import { ohmOfCode } from '../reading/calibration.ts';
import { formatQuantity } from '../reading/format.ts';
import type { ContactSettings } from '../types.ts';
import type { RangeModel } from './range-models.ts';
import type { ReadingNow } from './reading-now.ts';

/**
 * A captured touch while it is held: what was captured, and what has happened since. JSON-able;
 * changed in place by its owner.
 */
export interface HeldTouch {
  /** The captured median code with its range and level; `ohm` is null for a voltage or an open. */
  code: number;
  range: number;
  dry: boolean;
  voltage: boolean;
  closed: boolean;
  ohm: number | null;
  /** Drop-outs that count: the touch held on after them. */
  dropOuts: { count: number; longestUs: number; totalUs: number; subReading: number };
  /** Drop-outs that may yet turn out to be the lift. */
  recent: { count: number; longestUs: number; totalUs: number; lastUs: number };
  awaySinceUs: number | null;
  deviantSinceUs: number | null;
  wanderedAtUs: number | null;
  /** Edges of the open comparator and breaks seen in the readings, since the capture. */
  edges: number;
  breaks: number;
  unexplainedSinceUs: number | null;
  reported: boolean;
}

/**
 * Edges tell nothing when the captured code is as near as this to the comparator's thresholds (3.7
 * V and 3.9 V of 5 V at the amplifier's output).
 */
export const edgesTellBelowCode = 11_000;

/** Returns a touch just captured. */
export function holdTouch(
  captured: Pick<HeldTouch, 'code' | 'range' | 'dry' | 'voltage' | 'closed' | 'ohm'>,
): HeldTouch {
  return {
    ...captured,
    dropOuts: { count: 0, longestUs: 0, totalUs: 0, subReading: 0 },
    recent: { count: 0, longestUs: 0, totalUs: 0, lastUs: 0 },
    awaySinceUs: null,
    deviantSinceUs: null,
    wanderedAtUs: null,
    edges: 0,
    breaks: 0,
    unexplainedSinceUs: null,
    reported: false,
  };
}

/**
 * Takes in one reading of a held touch. Returns the reason the first time that the touch proves
 * unsteady, else null.
 *
 * Lifting scrapes and bounces too. So a drop-out or wandering counts only when the touch is held
 * for `confirmUs` after it.
 */
export function stepHeld(held: HeldTouch, now: ReadingNow): string | null {
  const { tUs, code, contact, change, path, model, settings } = now;
  if (model === null) return null;
  if (change === 'blip' && held.closed) noteDropOut(held, path.brokeUs, tUs);
  const away = !contact || (held.closed && !held.voltage && !model.voltage && !path.closed);
  if (away) {
    held.awaySinceUs ??= contact && change === 'broke' ? path.brokeUs : tUs;
  } else if (held.awaySinceUs !== null) {
    noteDropOut(held, held.awaySinceUs, tUs);
    held.awaySinceUs = null;
  }
  if (!contact) return null;
  // the host has changed what is measured: nothing to compare with what was captured
  if (model.voltage !== held.voltage || model.dry !== held.dry) {
    held.deviantSinceUs = null;
    return null;
  }
  if (isDeviant(held, code, model, settings)) {
    held.deviantSinceUs ??= tUs;
    if (tUs - held.deviantSinceUs >= settings.windowUs) held.wanderedAtUs ??= tUs;
  } else {
    held.deviantSinceUs = null;
  }
  return confirm(held, tUs, code, model, settings);
}

/** Takes in the edge count of a batch whose readings were all taken on `range`. */
export function noteEdges(held: HeldTouch, tUs: number, edges: number, range: number): void {
  if (range !== held.range) {
    // changing range moves the comparator's threshold: its edges are no drop-outs
    held.breaks = Math.max(held.breaks, held.edges);
  } else if (held.code < edgesTellBelowCode) {
    held.edges += edges;
  }
  const unexplained = held.edges - held.breaks > held.dropOuts.subReading;
  held.unexplainedSinceUs = unexplained ? (held.unexplainedSinceUs ?? tUs) : null;
}

function noteDropOut(held: HeldTouch, fromUs: number, toUs: number): void {
  const { recent } = held;
  recent.count++;
  recent.longestUs = Math.max(recent.longestUs, toUs - fromUs);
  recent.totalUs += toUs - fromUs;
  recent.lastUs = toUs;
  held.breaks++;
}

function isDeviant(held: HeldTouch, code: number, model: RangeModel, settings: ContactSettings): boolean {
  if (model.range === held.range) {
    return Math.abs(code - held.code) > model.limits.wander(held.code);
  }
  if (held.ohm === null || model.levels === null) return true;
  // another range has another calibration: three times the allowance
  const allowedOhm = 3 * Math.max(settings.maxRelWander * Math.abs(held.ohm), settings.floorOhm);
  return !(Math.abs(ohmOfCode(code, model.levels.entry) - held.ohm) <= allowedOhm);
}

function confirm(
  held: HeldTouch,
  tUs: number,
  code: number,
  model: RangeModel,
  settings: ContactSettings,
): string | null {
  const { recent, dropOuts } = held;
  const old = (sinceUs: number | null): boolean => sinceUs !== null && tUs - sinceUs >= settings.confirmUs;
  let why: string | null = null;
  if (recent.count > 0 && held.awaySinceUs === null && old(recent.lastUs)) {
    dropOuts.count += recent.count;
    dropOuts.longestUs = Math.max(dropOuts.longestUs, recent.longestUs);
    dropOuts.totalUs += recent.totalUs;
    held.recent = { count: 0, longestUs: 0, totalUs: 0, lastUs: 0 };
    why = `dropped out ${times(dropOuts.count)} while held, for at most ${(dropOuts.longestUs / 1000).toFixed(1)} ms`;
  }
  if (old(held.unexplainedSinceUs)) {
    dropOuts.subReading = held.edges - held.breaks;
    held.unexplainedSinceUs = null;
    why ??= `dropped out at least ${times(dropOuts.subReading)} while held, shorter than one reading`;
  }
  if (held.awaySinceUs !== null && old(held.awaySinceUs)) why ??= 'the path opened while held';
  if (old(held.wanderedAtUs)) why ??= wanderText(held, code, model);
  if (why === null || held.reported) return null;
  held.reported = true;
  return why;
}

function wanderText(held: HeldTouch, code: number, model: RangeModel): string {
  const entry = model.levels?.entry;
  if (entry === undefined || held.ohm === null) return 'moved off the captured value while held';
  const now = ohmOfCode(code, entry);
  const shown = Number.isFinite(now) ? formatQuantity(now, 'resistance') : 'open';
  return `moved from ${formatQuantity(held.ohm, 'resistance')} to ${shown} while held`;
}

function times(count: number): string {
  return count === 1 ? 'once' : `${count} times`;
}
