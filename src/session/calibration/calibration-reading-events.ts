import type { LinkItem } from '../../link/probe/link-item.ts';
import { defaultContactSettings } from '../../measure/contact/contact-settings.ts';
import { ContactTracker, startContact } from '../../measure/contact/contact-tracker.ts';
import { nominalCalibration } from '../../measure/reading/nominal.ts';
import { readWindow } from '../../measure/reading/read-window.ts';
import type { CaptureWindow, ContactEvent, ContactSettings } from '../../measure/types.ts';
import type { ReadingBatch } from '../../protocol/reading-batch.ts';
import { timeoutTable } from '../../protocol/table.ts';
import type { ReadingWatcher } from '../engine/session-parts.ts';
import type { CalibrationEvent, CalibrationMode } from './calibration-state.ts';

/** Whole periods of mains at 50 and at 60 hertz, so that pickup averages out of a point. */
const pointUs = 200_000;
/** Readings after a change of setting that may still be on their way to rest. */
const settleUs = 20_000;

/**
 * Watches readings for one setting of a calibration session and tells what they come to. Whatever
 * the probe is calibrated with, the codes are looked at through nominal values: only steadiness and
 * contact are asked for here.
 */
export class CalibrationReadingEvents implements ReadingWatcher<CalibrationEvent> {
  #mode: CalibrationMode | null = null;
  #tracker: ContactTracker | null = null;
  #air: { codes: number[]; first: ReadingBatch } | null = null;
  #feelsTips = true;
  #sinceUs: number | null = null;

  /** A probe was found: nothing is watched until it is set. */
  forget(feelsTips: boolean): void {
    this.#feelsTips = feelsTips;
    this.stop();
  }

  start(mode: CalibrationMode): void {
    const settings: ContactSettings = {
      ...defaultContactSettings,
      seatSense: this.#feelsTips,
      windowUs: pointUs,
      dwellUs: 0,
    };
    this.#mode = mode;
    this.#tracker = new ContactTracker(startContact(settings, nominalCalibration));
    this.#air = null;
    this.#sinceUs = null;
  }

  stop(): void {
    this.#mode = null;
    this.#tracker = null;
    this.#air = null;
  }

  /** Returns what a batch of readings says about the setting that is watched. */
  readings(batch: ReadingBatch): CalibrationEvent[] {
    const mode = this.#mode;
    if (mode === null || this.#tracker === null) return [];
    const isVolt = mode.combination.level === 'voltage';
    const { flags } = batch;
    if (flags.live && !isVolt) return this.#live(batch);
    if (flags.voltage !== isVolt) return this.#live(batch);
    const input = mode.watch === 'check' ? 'check' : 'tips';
    if (flags.input !== input) return [];
    if (!isVolt && flags.level !== mode.combination.level) return [];
    if (!isVolt && mode.watch !== 'check' && batch.range !== mode.combination.range) return [];
    this.#sinceUs ??= batch.tUs;
    if (batch.tUs - this.#sinceUs < settleUs) return [];
    return mode.watch === 'air' ? this.#inAir(batch) : this.#touched(batch);
  }

  /** The probe's button: short reads the standard again, long skips it. */
  probeEvent({ name, arg }: Extract<LinkItem, { kind: 'event' }>): CalibrationEvent[] {
    if (name !== 'buttonUp') return [];
    return [{ type: arg >= timeoutTable.buttonLong.ms ? 'skip' : 'again' }];
  }

  /** A point with readings missing is begun anew by the tracker. */
  gap(): CalibrationEvent[] {
    return [];
  }

  #touched(batch: ReadingBatch): CalibrationEvent[] {
    return this.#tracker!.push(batch).map(eventOf);
  }

  #live(batch: ReadingBatch): CalibrationEvent[] {
    return this.#tracker!.push(batch).flatMap((contactEvent): CalibrationEvent[] =>
      contactEvent.kind === 'live' ? [{ type: 'live', on: contactEvent.on }] : [],
    );
  }

  /**
   * Both tips off everything, for a whole point. Without seat sense only the codes can tell: they
   * are near the open level or the fit will say so.
   */
  #inAir(batch: ReadingBatch): CalibrationEvent[] {
    const { seatA, seatB, excitation } = batch.flags;
    const touches = this.#feelsTips && (seatA || seatB);
    const follows = this.#air !== null && this.#air.first.flagBits === batch.flagBits && batch.lost === 0;
    if (touches || !excitation) {
      this.#air = null;
      return [];
    }
    if (!follows) this.#air = { codes: [], first: batch };
    const air = this.#air!;
    air.codes.push(...batch.codes);
    const wanted = Math.round(pointUs / batch.periodUs);
    if (air.codes.length < wanted) return [{ type: 'settling', progress: air.codes.length / wanted }];
    const { tUs, periodUs, range, flagBits, flags } = air.first;
    const window: CaptureWindow = { tUs, periodUs, range, level: flags.level, flagBits, codes: air.codes };
    this.#air = null;
    return [{ type: 'captured', window, reading: readWindow(window, nominalCalibration) }];
  }
}

function eventOf(contactEvent: ContactEvent): CalibrationEvent {
  switch (contactEvent.kind) {
    case 'make':
    case 'lift':
      return { type: contactEvent.kind };
    case 'settling':
      return { type: 'settling', progress: contactEvent.progress };
    case 'captured':
      return { type: 'captured', window: contactEvent.window, reading: contactEvent.reading };
    case 'unsteady':
      return { type: 'unsteady', why: contactEvent.why };
    case 'live':
      return { type: 'live', on: contactEvent.on };
  }
}
