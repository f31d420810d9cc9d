import type { ReadingBatch } from '../../protocol/reading-batch.ts';
import { readWindow } from '../reading/read-window.ts';
import type { Calibration, CaptureWindow, PressEvent, PressSettings, PressSummary } from '../types.ts';
import { defaultContactSettings } from './contact-settings.ts';
import { type PathState, pathOpen, stepPath } from './path-state.ts';
import { rangeModels } from './range-models.ts';
import { StandingWindow } from './standing-window.ts';

export const defaultPressSettings: PressSettings = {
  windowUs: 24_000,
  releaseUs: 30_000,
  beatUs: null,
  contact: defaultContactSettings,
};

/** A press under way. */
interface OpenPress {
  firstUs: number;
  makes: number;
  /** Start of the last break before settling that a make followed. */
  lastBreakUs: number | null;
  brokeUs: number | null;
  /** The first window that was steady, or, until there is one, the longest. */
  window: CaptureWindow | null;
  settled: boolean;
}

/** Everything that the counter knows, as plain data: goes through JSON unchanged. */
export interface PressState {
  settings: PressSettings;
  calibration: Calibration;
  path: PathState;
  press: OpenPress | null;
  window: CaptureWindow | null;
  /**
   * When the press of this beat should have begun at the latest; null before the first press or
   * without a beat.
   */
  dueUs: number | null;
}

/**
 * Share of a beat by which a press may come late before it counts as missed: half way to the next.
 */
const lateBeats = 0.5;

/**
 * Returns the state before the first reading. Settings and calibration are kept by reference and
 * must not change.
 */
export function startPresses(settings: PressSettings, calibration: Calibration): PressState {
  return { settings, calibration, path: { ...pathOpen }, press: null, window: null, dueUs: null };
}

/**
 * Returns the state after a batch of readings and the presses that ended in it. Pure.
 *
 * The tips stay on the pads; what is counted are closures of the path. A press runs from its first
 * make until the path has been open for `releaseUs`; an opening shorter than that is bounce. Tips
 * that lift end a press as a release does. With a beat, a press that has not begun half a beat
 * after its time is missed; the first press sets the beat. Batches in which the path is not
 * measured (no excitation, live, voltage) leave the state alone.
 */
export function stepPresses(state: PressState, batch: ReadingBatch): { state: PressState; events: PressEvent[] } {
  const { settings, calibration } = state;
  const { flags, periodUs } = batch;
  const model = rangeModels(calibration, settings.contact).of(batch.range, flags.level === 'dry', false);
  if (flags.voltage || flags.live || !flags.excitation || model?.levels == null) return { state, events: [] };
  const path = { ...state.path };
  const window = new StandingWindow(settings.windowUs, state.window ?? undefined);
  const events: PressEvent[] = [];
  let press = state.press === null ? null : { ...state.press };
  let dueUs = state.dueUs;
  window.join(batch);
  let tUs = batch.tUs;
  for (const code of batch.codes) {
    const change = stepPath(path, code, tUs, model.levels, flags.auto);
    if (change !== 'none') window.steady.clear();
    window.push(code, tUs);
    if (change === 'made') {
      if (press === null) {
        press = { firstUs: tUs, makes: 0, lastBreakUs: null, brokeUs: null, window: null, settled: false };
        if (settings.beatUs !== null) dueUs = tUs + settings.beatUs * (1 + lateBeats);
      }
      press = remade(press, press.brokeUs);
    } else if (change === 'blip' && press !== null) {
      press = remade(press, path.brokeUs);
    } else if (change === 'broke' && press !== null) {
      press.brokeUs = path.brokeUs;
    }
    if (press !== null && path.closed && path.beyondSinceUs === null && !press.settled) {
      const steady = window.steady.full && model.limits.instability(window.steady) === null;
      const longest = window.steady.size > (press.window?.codes.length ?? 0);
      if (steady || (longest && window.steady.size > periodsUntilKept)) press.window = window.capture();
      press.settled = steady;
    }
    if (press !== null && press.brokeUs !== null && !path.closed && tUs - press.brokeUs >= settings.releaseUs) {
      events.push({ kind: 'press', tUs, press: summarizePress(press, press.brokeUs, calibration) });
      press = null;
    }
    if (press === null && dueUs !== null && settings.beatUs !== null && tUs > dueUs) {
      events.push({ kind: 'press', tUs, press: missedPress });
      dueUs += settings.beatUs;
    }
    tUs += periodUs;
  }
  const standing = window.capture();
  return { state: { ...state, path, press, window: standing, dueUs }, events };
}

/**
 * Windows shorter than so many readings are not worth keeping as evidence of a press that never
 * settled.
 */
const periodsUntilKept = 2;

/**
 * A press that closes once more; `brokeUs` is null for its first make. Bounce is what comes before
 * settling.
 */
function remade(press: OpenPress, brokeUs: number | null): OpenPress {
  const lastBreakUs = brokeUs !== null && !press.settled ? brokeUs : press.lastBreakUs;
  return { ...press, makes: press.makes + 1, lastBreakUs, brokeUs: null };
}

function summarizePress(press: OpenPress, releasedUs: number, calibration: Calibration): PressSummary {
  return {
    closedReading: press.settled && press.window !== null ? readWindow(press.window, calibration) : null,
    bounceUs: press.lastBreakUs === null ? 0 : press.lastBreakUs - press.firstUs,
    makes: press.makes,
    heldUs: releasedUs - press.firstUs,
    window: press.window,
    missed: false,
  };
}

/** A press that was asked for and never came. */
export const missedPress: PressSummary = {
  closedReading: null,
  bounceUs: 0,
  makes: 0,
  heldUs: 0,
  window: null,
  missed: true,
};
