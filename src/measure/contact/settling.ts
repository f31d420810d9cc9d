import { ohmOfCode } from '../reading/calibration.ts';
import { readWindow } from '../reading/read-window.ts';
import type { Calibration, ContactEvent, ContactSettings } from '../types.ts';
import { holdTouch } from './held-touch.ts';
import type { RangeModel } from './range-models.ts';
import type { ReadingNow } from './reading-now.ts';
import type { StandingWindow } from './standing-window.ts';
import type { Instability } from './steady-limits.ts';
import { summarizeTouch, type Touch } from './touch.ts';

/** Progress of settling is told at most this often, in microseconds. */
const progressEveryUs = 8_000;

/**
 * Takes in one reading of a touch that has not had its outcome, already in `window`. Returns what
 * it leads to: captured when the window has been steady for the dwell time, unsteady when time is
 * up, settling now and then, else null. `touch` is changed in place.
 *
 * `fit` is false while steadiness means nothing: the probe is about to change range, or the contact
 * bounces faster than readings show.
 */
export function stepSettling(
  touch: Touch,
  { tUs, model, path, settings }: ReadingNow,
  fit: boolean,
  window: StandingWindow,
  calibration: Calibration,
): ContactEvent | null {
  const { steady } = window;
  const instability = model === null || !fit || !steady.full ? 'unfit' : model.limits.instability(steady);
  if (instability !== null || model === null) {
    touch.steadySinceUs = null;
    if (tUs - touch.settleFromUs < settings.unsteadyAfterUs) return progress(touch, tUs, window, settings);
    const why = instabilityText(touch, instability ?? 'unfit', model, settings);
    return { kind: 'unsteady', tUs, window: window.capture(), contact: summarizeTouch(touch, tUs), why };
  }
  touch.steadySinceUs ??= tUs;
  if (tUs - touch.steadySinceUs < settings.dwellUs) return progress(touch, tUs, window, settings);
  const closed = model.voltage || path.closed;
  const code = steady.median;
  const ohm = model.levels === null || !closed ? null : ohmOfCode(code, model.levels.entry);
  touch.settledUs = touch.steadySinceUs;
  touch.held = holdTouch({ code, range: model.range, dry: model.dry, voltage: model.voltage, closed, ohm });
  const captured = window.capture();
  const reading = readWindow(captured, calibration);
  return { kind: 'captured', tUs, window: captured, contact: summarizeTouch(touch, tUs), reading };
}

function progress(touch: Touch, tUs: number, window: StandingWindow, settings: ContactSettings): ContactEvent | null {
  if (tUs < touch.nextProgressUs) return null;
  touch.nextProgressUs = tUs + progressEveryUs;
  const { windowUs, dwellUs } = settings;
  const filledUs = (window.steady.size / window.steady.capacity) * windowUs;
  const dweltUs = touch.steadySinceUs === null ? 0 : tUs - touch.steadySinceUs;
  return { kind: 'settling', tUs, progress: Math.min(1, (filledUs + dweltUs) / (windowUs + dwellUs)) };
}

function instabilityText(
  touch: Touch,
  instability: Instability | 'unfit',
  model: RangeModel | null,
  settings: ContactSettings,
): string {
  const forMs = `within ${settings.unsteadyAfterUs / 1000} ms`;
  if (model === null) return `could not settle ${forMs}: the calibration does not hold this range`;
  if (touch.makes > 2) return `did not settle ${forMs}: the contact closed ${touch.makes} times`;
  if (instability === 'drift') return `did not settle ${forMs}: the value keeps drifting`;
  return `did not settle ${forMs}: the value keeps jumping`;
}
