import type { LinkCounters, LinkItem } from '../../link/probe/link-item.ts';
import { listenOnly } from '../../link/probe/listen-only.ts';
import { defaultContactSettings } from '../../measure/contact/contact-settings.ts';
import { ContactTracker, startContact } from '../../measure/contact/contact-tracker.ts';
import { decide } from '../../measure/judge/decide.ts';
import type { Calibration, CaptureWindow, Limits, Outcome, Reading } from '../../measure/types.ts';
import { decodeCalibrationBlock } from '../../protocol/calibration-block.ts';
import { feelsTips, readingFlags } from '../../protocol/flags.ts';
import type { OkAnswer, ProbeIdentity } from '../../protocol/messages.ts';
import type { ReadingBatch } from '../../protocol/reading-batch.ts';
import { limitTable } from '../../protocol/table.ts';
import { calibrationOf } from '../engine/calibration-in-force.ts';

/** One capture found in a byte stream. `outcome` is null without limits that fit its quantity. */
export interface ReplayedCapture {
  tUs: number;
  input: string;
  level: 'normal' | 'dry';
  quantity: 'resistance' | 'voltage';
  window: CaptureWindow;
  reading: Reading;
  outcome: Outcome | null;
  why: string;
}

export interface Replay {
  captures: ReplayedCapture[];
  gaps: number;
  readings: number;
  counters: LinkCounters;
}

/**
 * Returns what a byte stream comes to: a byte log of a session, or bare bytes as a probe sent them.
 * The same bytes give the same captures and verdicts as the session did, because time comes from
 * the probe; limits are applied to every capture of their quantity.
 *
 * The calibration is the one that the stream itself carries (the host reads it when a session
 * begins), else the nominal one.
 */
export function replayBytes(file: Uint8Array, limits: Limits | null): Replay {
  const captures: ReplayedCapture[] = [];
  const setup = new SetupHeard();
  let following: Following | null = null;
  let gaps = 0;
  let readings = 0;
  const onItem = (item: LinkItem): void => {
    if (item.kind === 'connected') setup.connected(item.identity);
    if (item.kind === 'gap') gaps += 1;
    if (item.kind !== 'readings') return;
    readings += item.batch.codes.length;
    if (following === null || !following.fits(item.batch)) following = new Following(item.batch, setup);
    captures.push(...following.push(item.batch, limits));
  };
  const counters = listenOnly(file, onItem, (answer) => setup.hear(answer));
  return { captures, gaps, readings, counters };
}

/**
 * What the answers in the stream tell of the probe: its calibration, and whether it feels its tips.
 */
class SetupHeard {
  readonly #bytes = new Uint8Array(limitTable.calibrationBytes).fill(0xff);
  #serial = 0;
  seatSense = true;

  connected(identity: ProbeIdentity): void {
    this.#serial = identity.probeSerial;
    this.seatSense = feelsTips(identity);
  }

  hear(answer: OkAnswer): void {
    if (answer.request !== 'calRead') return;
    const { offset, data } = answer as OkAnswer<'calRead'>;
    this.#bytes.set(data.subarray(0, Math.max(0, this.#bytes.length - offset)), Math.min(offset, this.#bytes.length));
  }

  get calibration(): Calibration {
    const stored = decodeCalibrationBlock(this.#bytes);
    // a byte log does not say when it was made: the calibration counts as it was on its first day
    const nowMs = stored.state === 'valid' ? stored.block.dateUnixS * 1000 : 0;
    return calibrationOf(stored, this.#serial, nowMs).calibration;
  }
}

/** Follows the contact while the probe stays in one mode. */
class Following {
  readonly #tracker: ContactTracker;
  readonly #key: string;

  constructor(batch: ReadingBatch, setup: SetupHeard) {
    this.#key = modeKey(batch);
    this.#tracker = new ContactTracker(
      startContact({ ...defaultContactSettings, seatSense: setup.seatSense }, setup.calibration),
    );
  }

  fits(batch: ReadingBatch): boolean {
    return modeKey(batch) === this.#key;
  }

  push(batch: ReadingBatch, limits: Limits | null): ReplayedCapture[] {
    const found: ReplayedCapture[] = [];
    for (const contactEvent of this.#tracker.push(batch)) {
      if (contactEvent.kind !== 'captured') continue;
      const { window, reading, tUs } = contactEvent;
      const flags = readingFlags(window.flagBits);
      const decision =
        limits?.quantity === reading.quantity ? decide(reading, limits, { name: 'guarded', p: 0.975 }) : null;
      found.push({
        tUs,
        input: flags.input,
        level: flags.level,
        quantity: reading.quantity,
        window,
        reading,
        outcome: decision?.outcome ?? null,
        why: decision?.why ?? '',
      });
    }
    return found;
  }
}

function modeKey({ flags }: ReadingBatch): string {
  return `${flags.voltage} ${flags.level} ${flags.input}`;
}
