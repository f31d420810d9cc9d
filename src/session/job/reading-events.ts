import type { GapItem, LinkItem } from '../../link/probe/link-item.ts';
import { ClosureWatch } from '../../measure/contact/closure-watch.ts';
import { touchSettings } from '../../measure/contact/contact-settings.ts';
import { ContactTracker, startContact } from '../../measure/contact/contact-tracker.ts';
import { defaultPressSettings, type PressState, startPresses, stepPresses } from '../../measure/contact/presses.ts';
import { HoldRecorder } from '../../measure/contact/steady-hold.ts';
import type { OpenedBy } from '../../measure/judge/closure.ts';
import type { Calibration, ContactEvent, ContactSettings } from '../../measure/types.ts';
import type { ReadingBatch } from '../../protocol/reading-batch.ts';
import { enumTable, timeoutTable } from '../../protocol/table.ts';
import type { ReadingWatcher } from '../engine/session-parts.ts';
import type { JobSessionEvent, ProbeMode, Watching } from './job-session-state.ts';

/** What the probe gives as the reason for opening its bridge, by its code. */
const openedBy = new Map<number, OpenedBy>(
  Object.entries(enumTable.bridgeOpenReason).map(([name, code]) => [code, name as OpenedBy]),
);

type ProbeEvent = Extract<LinkItem, { kind: 'event' }>;

/**
 * Makes a job's events of readings, for the task in hand. Readings of an earlier mode are passed
 * over.
 */
export class JobReadingEvents implements ReadingWatcher<JobSessionEvent> {
  #mode: ProbeMode | null = null;
  #tracker: ContactTracker | null = null;
  #presses: PressState | null = null;
  #closure: ClosureWatch | null = null;
  #held: Holding | null = null;
  #standing = true;
  #feelsTips = false;
  #mustTell = false;

  /**
   * A probe was found, just now or again: until a reading has shown its tips in the air, they may
   * stand on something already.
   */
  forget(feelsTips: boolean): void {
    this.#standing = true;
    this.#feelsTips = feelsTips;
  }

  /** Watches for a new task: the probe is set to `mode` now. */
  start(mode: ProbeMode, { tracking, dwellMs }: Watching, calibration: Calibration): void {
    const dwellUs = dwellMs === undefined ? undefined : dwellMs * 1000;
    const contact = touchSettings({ dwellUs, seatSense: this.#feelsTips });
    this.#mode = mode;
    this.#tracker = new ContactTracker(startContact(contact, calibration, this.#standing && mode.input === 'tips'));
    this.#mustTell = this.#standing && mode.input === 'tips';
    if (mode.input === 'tips') this.#standing = false;
    this.#closure = tracking === 'closure' ? new ClosureWatch(this.#feelsTips) : null;
    this.#held = tracking === 'hold' ? new Holding(contact, calibration) : null;
    this.#presses = tracking === 'presses' ? startPresses({ ...defaultPressSettings, contact }, calibration) : null;
  }

  stop(): void {
    this.#mode = null;
    this.#tracker = null;
    this.#presses = null;
    this.#closure = null;
    this.#held = null;
  }

  /**
   * Returns what a batch of readings says: what happened to the contact, presses that ended, and
   * the time it is.
   */
  readings(batch: ReadingBatch): JobSessionEvent[] {
    const events: JobSessionEvent[] = [{ type: 'clock', tUs: batch.tUs + batch.codes.length * batch.periodUs }];
    const { input, seatA, seatB } = batch.flags;
    if (this.#feelsTips && input === 'tips' && !(seatA && seatB)) this.#standing = false;
    if (this.#tracker === null || !this.#fits(batch)) return events;
    if (this.#mustTell && seatA && seatB) events.push({ type: 'standing' });
    this.#mustTell = false;
    const contactEvents = this.#tracker.push(batch);
    for (const contactEvent of contactEvents) events.push({ type: 'contact', contact: contactEvent });
    const closure = this.#closure?.push(batch) ?? null;
    if (closure !== null) events.push({ type: 'closure', closure });
    events.push(...(this.#held?.push(batch, contactEvents) ?? []));
    if (this.#presses !== null) {
      const { state, events: presses } = stepPresses(this.#presses, batch);
      this.#presses = state;
      for (const { press } of presses) events.push({ type: 'press', press });
    }
    return events;
  }

  /**
   * Returns what an event of the probe says. The button counts when it is let go: how long it was
   * held tells what it means.
   */
  probeEvent(event: ProbeEvent): JobSessionEvent[] {
    switch (event.name) {
      case 'buttonUp': {
        const standing = this.#feelsTips ? null : (this.#tracker?.standing() ?? null);
        return [{ type: 'button', long: event.arg >= timeoutTable.buttonLong.ms, standing }];
      }
      case 'lightChanged':
        return [{ type: 'light', change: { tUs: event.tUs, code: event.arg } }];
      case 'bridgeClosed':
        this.#closure?.closed(event.tUs);
        return [];
      case 'bridgeOpened': {
        const closure = this.#closure?.opened(event.tUs, openedBy.get(event.arg) ?? 'request') ?? null;
        return closure === null ? [] : [{ type: 'closure', closure }];
      }
      default:
        return [];
    }
  }

  gap(gap: GapItem): JobSessionEvent[] {
    return [{ type: 'gap', gap }];
  }

  /**
   * A live voltage switches the probe to voltage mode by itself, so live readings count whatever
   * mode was asked for.
   */
  #fits(batch: ReadingBatch): boolean {
    const { flags } = batch;
    const mode = this.#mode;
    if (mode === null) return false;
    if (flags.live && mode.mode === 'resistance') return true;
    if (flags.voltage !== (mode.mode === 'voltage')) return this.#wasLive(batch, mode);
    return flags.input === mode.input && (flags.voltage || flags.level === mode.level);
  }

  /**
   * Readings after a live voltage went away: still in voltage mode, they tell that the tips are
   * free again.
   */
  #wasLive(batch: ReadingBatch, mode: ProbeMode): boolean {
    return mode.mode === 'resistance' && batch.flags.voltage && !batch.flags.excitation;
  }
}

/**
 * Follows the hold that begins when a touch has settled, or has been given the time to: what does
 * not settle is watched all the same.
 */
class Holding {
  readonly #settings: ContactSettings;
  readonly #calibration: Calibration;
  #recorder: HoldRecorder | null = null;

  constructor(settings: ContactSettings, calibration: Calibration) {
    this.#settings = settings;
    this.#calibration = calibration;
  }

  push(batch: ReadingBatch, contactEvents: readonly ContactEvent[]): JobSessionEvent[] {
    for (const { kind, tUs } of contactEvents) {
      if (kind === 'captured' || kind === 'unsteady') {
        this.#recorder ??= new HoldRecorder(tUs, this.#settings, this.#calibration);
      }
      if (kind === 'lift' || kind === 'live') this.#recorder = null;
    }
    const recorder = this.#recorder;
    return recorder?.push(batch) === true ? [{ type: 'hold', hold: recorder.hold() }] : [];
  }
}
