import { rangeTable } from '../../protocol/table.ts';
import { codeOfOhm, endCode, ohmOfCode } from '../reading/calibration.ts';
import { fullScaleCode } from '../reading/nominal.ts';
import type { ContactSettings, RangeCalibration } from '../types.ts';

const topRange = rangeTable.at(-1)!.id;

/** Codes between which the path keeps the state it had. */
export interface PathLevels {
  /** Closed below this. */
  make: number;
  /** Open (top range, or a fixed range) or on the way to a higher range (others) above this. */
  beyond: number;
  /** The resistance in ohm at `beyond`. */
  beyondOhm: number;
  entry: RangeCalibration;
}

/**
 * Returns the levels of hysteresis for a range: shares of its open level, held below the
 * converter's end.
 */
export function pathLevels(entry: RangeCalibration, settings: ContactSettings): PathLevels {
  const span = entry.nOpen - entry.nOff;
  const reach = Math.min(
    entry.nOff + span * settings.breakAbove,
    entry.range === topRange ? fullScaleCode : endCode(entry),
  );
  const make = entry.nOff + (reach - entry.nOff) * (settings.makeBelow / settings.breakAbove);
  return { make, beyond: reach, beyondOhm: ohmOfCode(reach, entry), entry };
}

/** Whether the path between the tips is closed, and since when it may not be. JSON-able. */
export interface PathState {
  closed: boolean;
  /**
   * Readings of a lower range went beyond it at this time: an open, or a resistance that needs a
   * higher range.
   */
  beyondSinceUs: number | null;
  /** Resistance that the path had at least then, in ohm. */
  beyondOhm: number;
  /** When the path last opened, set by `broke` and `blip`. */
  brokeUs: number;
}

export const pathOpen: PathState = { closed: false, beyondSinceUs: null, beyondOhm: 0, brokeUs: 0 };

/** `blip`: the path had opened (at `brokeUs`) and is closed again with this reading. */
export type PathChange = 'none' | 'made' | 'broke' | 'blip';

/**
 * Takes one reading in and returns what changed; `path` is changed in place (its owner keeps it
 * private).
 *
 * On the top range, or with the range fixed, the open level itself decides. On a lower range with
 * automatic choice a reading beyond the range says only 'more than this range holds': what follows
 * tells whether the path opened or the resistance rose.
 */
export function stepPath(path: PathState, code: number, tUs: number, levels: PathLevels, auto: boolean): PathChange {
  if (code > levels.beyond) {
    if (!path.closed) return 'none';
    path.beyondSinceUs ??= tUs;
    path.beyondOhm = Math.max(path.beyondOhm, levels.beyondOhm);
    if (auto && levels.entry.range !== topRange) return 'none';
    path.closed = false;
    path.brokeUs = path.beyondSinceUs;
    return 'broke';
  }
  if (code >= levels.make || (path.closed && path.beyondSinceUs === null)) return 'none';
  const beyondSinceUs = path.beyondSinceUs;
  // half of what the lower range could hold: two ranges need not agree to the last percent
  const rose = path.closed && code >= codeOfOhm(path.beyondOhm / 2, levels.entry);
  const wasClosed = path.closed;
  path.closed = true;
  path.beyondSinceUs = null;
  path.beyondOhm = 0;
  if (!wasClosed) return 'made';
  if (rose) return 'none';
  path.brokeUs = beyondSinceUs ?? tUs;
  return 'blip';
}
