import type { ReadingBatch } from '../../protocol/reading-batch.ts';
import type { Calibration, CaptureWindow, ContactEvent, ContactSettings, ContactSummary } from '../types.ts';
import { edgesTellBelowCode, noteEdges, stepHeld } from './held-touch.ts';
import { type PathState, pathOpen, stepPath } from './path-state.ts';
import { type RangeModels, rangeModels } from './range-models.ts';
import type { ReadingNow } from './reading-now.ts';
import { stepSettling } from './settling.ts';
import { StandingWindow } from './standing-window.ts';
import { beginTouch, copyTouch, noteJoined, summarizeTouch, type Touch } from './touch.ts';

/**
 * `settling` waits for steadiness; `held` has been captured; `spent` has had its one outcome, or
 * must be lifted first.
 */
export type ContactPhase = 'air' | 'settling' | 'held' | 'spent';

/** Everything that the tracker knows, as plain data: goes through JSON unchanged. */
export interface ContactState {
  settings: ContactSettings;
  calibration: Calibration;
  phase: ContactPhase;
  /** Contact now is of before: it counts only after a lift. */
  mustLift: boolean;
  path: PathState;
  touch: Touch | null;
  window: CaptureWindow | null;
  /**
   * `live`: a foreign voltage dropped the source, or forbids it. `excited`: the source was on in
   * the last batch.
   */
  stream: { nextUs: number; edges: number; range: number; live: boolean; excited: boolean; internal: boolean } | null;
}

/**
 * Returns the state before the first reading. `mustLift` (default false): tips that touch already
 * must be lifted before they are captured, for starting a new check while they may still stand on
 * the pads of the last. Settings and calibration are kept by reference and must not change.
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
 * Follows the contact through batches of readings: mutable inside, so that a reading costs a
 * fraction of a microsecond. What comes out depends on the readings alone, not on how they are cut
 * into batches (but for edge counts, which belong to a whole batch).
 */
export class ContactTracker {
  readonly #settings: ContactSettings;
  readonly #calibration: Calibration;
  readonly #models: RangeModels;
  readonly #path: PathState;
  readonly #window: StandingWindow;
  readonly #stream: NonNullable<ContactState['stream']>;
  #phase: ContactPhase;
  #mustLift: boolean;
  #touch: Touch | null;
  #started: boolean;
  #out: ContactEvent[] = [];

  constructor(state: ContactState) {
    this.#settings = state.settings;
    this.#calibration = state.calibration;
    this.#models = rangeModels(state.calibration, state.settings);
    this.#path = { ...state.path };
    this.#window = new StandingWindow(state.settings.windowUs, state.window ?? undefined);
    this.#stream = state.stream === null ? { ...freshStream } : { ...state.stream };
    this.#started = state.stream !== null;
    this.#phase = state.phase;
    this.#mustLift = state.mustLift;
    this.#touch = state.touch === null ? null : copyTouch(state.touch);
  }

  /**
   * Returns what happened in a batch, in order of time. Any number of readings; none gives nothing.
   */
  push(batch: ReadingBatch): ContactEvent[] {
    this.#out = [];
    if (batch.codes.length === 0) return this.#out;
    const { flags, periodUs } = batch;
    this.#enter(batch);
    const stream = this.#stream;
    const settings = this.#settings;
    const path = this.#path;
    const internal = stream.internal;
    const model = this.#models.of(batch.range, flags.level === 'dry', flags.voltage);
    const levels = model?.levels ?? null;
    const blind = stream.live || (!flags.voltage && !flags.excitation && !internal);
    const seated = internal || (flags.seatA && flags.seatB);
    const edges = (batch.edges - stream.edges) & 0xffff;
    // changing range and turning the source on may add an edge that is no drop-out
    const carriedOn = stream.range === batch.range && stream.excited === (flags.excitation && !flags.voltage);
    const bouncing = edges > 0 && carriedOn && !(this.#window.steady.median >= edgesTellBelowCode);
    const zero = this.#calibration.voltage.nZero;
    const isOnSomething = (code: number): boolean => {
      if (internal || settings.seatSense) return seated;
      if (blind) return this.#touch !== null;
      return flags.voltage ? Math.abs(code - zero) > this.#models.voltageContactCodes : path.closed;
    };
    const now: ReadingNow = {
      tUs: batch.tUs,
      code: 0,
      contact: false,
      joined: false,
      change: 'none',
      blind,
      model,
      path,
      settings,
    };
    for (const code of batch.codes) {
      now.code = code;
      now.change = blind || levels === null ? 'none' : stepPath(path, code, now.tUs, levels, flags.auto);
      now.contact = isOnSomething(code);
      now.joined = flags.voltage || path.closed;
      // readings of before the touch are none of its window
      if (now.change !== 'none' || (now.contact && this.#touch === null)) this.#void();
      if (!blind) this.#window.push(code, now.tUs);
      if (this.#touch === null) {
        if (now.contact) this.#begin(now, seated);
        else this.#mustLift = false;
      } else {
        this.#track(this.#touch, now);
      }
      if (this.#phase === 'settling' && this.#touch !== null && !blind && now.contact) {
        const onTheMove = flags.auto && path.closed && path.beyondSinceUs !== null;
        this.#settle(this.#touch, now, !onTheMove && !bouncing);
      }
      now.tUs += periodUs;
    }
    const { tUs } = now;
    if (bouncing && this.#phase === 'settling') this.#void();
    const held = this.#touch?.held;
    if (held) noteEdges(held, tUs, edges, carriedOn ? batch.range : -1);
    this.#leave(batch, tUs);
    return this.#out;
  }

  /**
   * Returns what stands now, for a person who asks for it by the button: the last readings, seated
   * or not; null without any.
   */
  standing(): { window: CaptureWindow; contact: ContactSummary } | null {
    const window = this.#window.capture();
    if (window.codes.length === 0) return null;
    const nowUs = this.#stream.nextUs;
    return { window, contact: summarizeTouch(this.#touch ?? beginTouch(nowUs, false, false), nowUs) };
  }

  /** Returns all that is known as plain data that later pushes do not change. */
  state(): ContactState {
    const settings = this.#settings;
    const calibration = this.#calibration;
    const phase = this.#phase;
    const mustLift = this.#mustLift;
    const path = this.#path;
    const touch = this.#touch;
    const stream = this.#stream;
    const window = this.#window.capture();
    return {
      settings,
      calibration,
      phase,
      mustLift,
      path: { ...path },
      touch: touch === null ? null : copyTouch(touch),
      window: window.periodUs === 0 ? null : window,
      stream: this.#started ? { ...stream } : null,
    };
  }

  /**
   * What a batch as a whole changes: gaps, a clock that began anew, the live flag, and which input
   * is measured.
   */
  #enter(batch: ReadingBatch): void {
    const stream = this.#stream;
    const internal = batch.flags.input !== 'tips';
    if (!this.#started) stream.edges = batch.edges;
    if (this.#started && batch.tUs < stream.nextUs - batch.periodUs) {
      // the probe was reset: a touch that has had its outcome needs a lift before the next
      this.#end(stream.nextUs, this.#phase !== 'settling');
      stream.edges = batch.edges;
    }
    if (this.#started && internal !== stream.internal) this.#end(batch.tUs, !internal);
    stream.internal = internal;
    const windowBefore = this.#window.steady;
    const sizeBefore = windowBefore.size;
    this.#window.join(batch);
    if (this.#touch !== null && (this.#window.steady !== windowBefore || this.#window.steady.size < sizeBefore)) {
      this.#touch.steadySinceUs = null;
    }
    // in voltage mode a voltage is what is looked for; it is news only when it came while the
    // source was on
    const live = batch.flags.live && (!batch.flags.voltage || stream.live || stream.excited);
    if (live !== stream.live) this.#out.push({ kind: 'live', tUs: batch.tUs, on: live });
    stream.live = live;
  }

  #leave(batch: ReadingBatch, nextUs: number): void {
    this.#stream.nextUs = nextUs;
    this.#stream.edges = batch.edges;
    this.#stream.range = batch.range;
    this.#stream.excited = batch.flags.excitation && !batch.flags.voltage;
    this.#started = true;
  }

  #begin({ tUs, joined }: ReadingNow, seated: boolean): void {
    this.#touch = beginTouch(tUs, joined, seated && (this.#settings.seatSense || this.#stream.internal));
    this.#phase = this.#mustLift ? 'spent' : 'settling';
    this.#mustLift = false;
    this.#out.push({ kind: 'make', tUs });
  }

  #track(touch: Touch, now: ReadingNow): void {
    const { tUs, contact, joined, change, blind } = now;
    if (contact) {
      touch.absentSinceUs = null;
      touch.lastContactUs = tUs;
    } else {
      touch.absentSinceUs ??= tUs;
    }
    if (touch.held !== null) {
      if (!blind) this.#hold(touch, touch.held, now);
    } else if (!blind || !contact) {
      const brokeUs = change === 'none' || change === 'made' ? tUs : this.#path.brokeUs;
      if (noteJoined(touch, contact && joined, change === 'blip', tUs, brokeUs)) this.#void();
    }
    if (blind) touch.settleFromUs = tUs;
    if (touch.absentSinceUs !== null && tUs - touch.absentSinceUs >= this.#settings.liftUs) this.#end(tUs, false);
  }

  #hold(touch: Touch, held: NonNullable<Touch['held']>, now: ReadingNow): void {
    const why = stepHeld(held, now);
    if (why === null) return;
    const { tUs } = now;
    this.#out.push({ kind: 'unsteady', tUs, window: this.#window.capture(), contact: summarizeTouch(touch, tUs), why });
  }

  #settle(touch: Touch, now: ReadingNow, fit: boolean): void {
    const contactEvent = stepSettling(touch, now, fit, this.#window, this.#calibration);
    if (contactEvent === null) return;
    this.#out.push(contactEvent);
    if (contactEvent.kind === 'captured') this.#phase = 'held';
    if (contactEvent.kind === 'unsteady') this.#phase = 'spent';
  }

  #void(): void {
    const { steady } = this.#window;
    steady.clear();
    if (this.#touch !== null) this.#touch.steadySinceUs = null;
  }

  /** Ends the touch, if there is one; `mustLift`: what touches next counts only after a lift. */
  #end(tUs: number, mustLift: boolean): void {
    const touch = this.#touch;
    if (touch !== null) this.#out.push({ kind: 'lift', tUs, contact: summarizeTouch(touch, touch.lastContactUs) });
    this.#mustLift = mustLift && (touch !== null || this.#stream.internal);
    this.#touch = null;
    this.#phase = 'air';
    Object.assign(this.#path, pathOpen);
  }
}

const freshStream: NonNullable<ContactState['stream']> = {
  nextUs: 0,
  edges: 0,
  range: -1,
  live: false,
  excited: false,
  internal: false,
};
