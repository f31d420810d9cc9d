import { readingFlags } from '../../protocol/flags.ts';
import { type EventNotice, eventName, type Notice, type ReadingsNotice } from '../../protocol/messages.ts';
import { Unwrap } from '../../protocol/unwrap.ts';
import type { GapCause, LinkItem } from './link-item.ts';
import { whyMalformed } from './malformed-readings.ts';

/**
 * A clock that goes back by more than this has begun anew: readings and events are never that far
 * out of order.
 */
const clockBackUs = 1_000_000;

/** What a tracker has counted. */
export interface NoticeCounters {
  readings: number;
  /** Gaps in the notices' sequence numbers, and the notices missing there. */
  sequenceGaps: number;
  missedNotices: number;
  /** Readings whose index was never seen. */
  missedReadings: number;
  /** Readings that the probe says it had to drop. */
  lostReadings: number;
  duplicates: number;
  unknownEvents: number;
  resets: number;
}

/**
 * Turns notices, in order, into link items: counts clock and index on beyond their wraps and tells
 * of what is missing. Readings that the probe drops on purpose after a change of range have no
 * index, and are no gap.
 */
export class NoticeTracker {
  readonly counters: NoticeCounters = {
    readings: 0,
    sequenceGaps: 0,
    missedNotices: 0,
    missedReadings: 0,
    lostReadings: 0,
    duplicates: 0,
    unknownEvents: 0,
    resets: 0,
  };
  readonly #onItem: (item: LinkItem) => void;
  readonly #clock = new Unwrap(32);
  readonly #index = new Unwrap(16);
  #lastSeq: number | null = null;
  #lastTUs: number | null = null;
  /** Time of the last batch of readings. */
  #readUs: number | null = null;
  #nextIndex: number | null = null;
  /** Readings told as lost whose place in the indices has not come yet. */
  #toldLost = 0;

  constructor(onItem: (item: LinkItem) => void) {
    this.#onItem = onItem;
  }

  /** Latest probe time seen, in microseconds since boot; null before the first. */
  get lastUs(): number | null {
    return this.#clock.last;
  }

  /**
   * A new connection or a new boot: nothing is expected of the next notice. `sameClock`: the probe
   * has not restarted.
   */
  restart(sameClock: boolean): void {
    if (!sameClock) this.#clock.restart();
    this.#lastSeq = null;
    this.#lastTUs = null;
    this.#readUs = null;
    this.startReadings();
  }

  /** The probe's clock at this moment, from an answer. Returns it counted on beyond its wraps. */
  clockIs(clockUs: number): number {
    return this.#clock.take(clockUs);
  }

  /** The probe has been told to start: its reading index begins at 0 again. */
  startReadings(): void {
    this.#index.restart();
    this.#nextIndex = null;
    this.#toldLost = 0;
  }

  /**
   * Returns whether a notice shows that the probe has restarted: it says so, or its clock has gone
   * back.
   */
  showsReset(notice: Notice): boolean {
    if (notice.kind === 'boot') return true;
    const lastUs = this.#clock.last;
    return lastUs !== null && this.#clock.nearest(notice.tUs) < lastUs - clockBackUs;
  }

  /** The probe has restarted: tells the gap, and expects nothing of the next notice. */
  reset(): void {
    const fromUs = this.#clock.last;
    this.counters.resets++;
    this.restart(false);
    this.gap('reset', null, fromUs, null, 'the probe has restarted');
  }

  /**
   * Takes a notice; one that shows a restart tells the gap first. Returns false for a batch of
   * readings that no probe can have taken: it is dropped, and told as a gap.
   */
  take(notice: Notice): boolean {
    // the boot that a stream begins with is no restart: nothing was seen before it
    const isFirst = this.#clock.last === null && this.#lastSeq === null;
    if (!isFirst && this.showsReset(notice)) this.reset();
    if (notice.kind === 'boot') {
      this.#lastSeq = notice.seq;
      return true;
    }
    if (notice.seq === this.#lastSeq && notice.tUs === this.#lastTUs) {
      this.counters.duplicates++;
      return true;
    }
    if (notice.kind === 'readings' && !this.#isSound(notice)) return false;
    const beforeUs = this.#clock.last;
    const missed = this.#lastSeq === null ? 0 : (notice.seq - this.#lastSeq + 255) % 256;
    this.#lastSeq = notice.seq;
    this.#lastTUs = notice.tUs;
    const tUs = this.#clock.take(notice.tUs);
    if (missed > 0) {
      this.counters.sequenceGaps++;
      this.counters.missedNotices += missed;
    }
    if (notice.kind === 'readings') this.#readings(notice, tUs, beforeUs, missed);
    else this.#event(notice, tUs, beforeUs, missed);
    return true;
  }

  #isSound(notice: ReadingsNotice): boolean {
    const tUs = this.#clock.nearest(notice.tUs);
    const why = whyMalformed(notice, tUs, this.#readUs);
    if (why === null) {
      this.#readUs = tUs;
      return true;
    }
    // its sequence number is all that is believed of it: the notice was not missed
    this.#lastSeq = notice.seq;
    const atUs = this.#clock.last;
    const text = `a batch of ${count(notice.codes.length, 'reading')} was dropped: ${why}`;
    this.gap('lost-readings', notice.codes.length, atUs, atUs, text);
    return false;
  }

  #readings(notice: ReadingsNotice, tUs: number, beforeUs: number | null, missedNotices: number): void {
    const index = this.#index.take(notice.index);
    const expected = this.#nextIndex ?? index;
    const jump = Math.max(0, index - expected);
    const untold = Math.max(0, jump - this.#toldLost);
    this.#toldLost = Math.max(0, this.#toldLost - jump);
    this.#nextIndex = index + notice.codes.length;
    this.counters.readings += notice.codes.length;
    this.counters.missedReadings += jump;
    this.counters.lostReadings += notice.lost;
    if (missedNotices > 0) {
      const text = `${count(missedNotices, 'frame')} of the probe did not arrive, with ${count(jump, 'reading')}`;
      this.gap('sequence', jump, beforeUs, tUs, text);
    } else if (untold > notice.lost) {
      this.gap('lost-readings', untold, beforeUs, tUs, `${count(untold, 'reading')} missing`);
    } else if (notice.lost > 0) {
      this.gap('lost-readings', notice.lost, beforeUs, tUs, `the probe had to drop ${count(notice.lost, 'reading')}`);
    }
    if (notice.lost > 0) this.#toldLost += Math.max(0, notice.lost - untold);
    this.#onItem({
      kind: 'readings',
      batch: {
        index,
        tUs,
        periodUs: notice.periodUs,
        range: notice.range,
        flags: readingFlags(notice.flags),
        flagBits: notice.flags,
        lost: notice.lost,
        edges: notice.edges,
        codes: notice.codes,
      },
    });
  }

  #event(notice: EventNotice, tUs: number, beforeUs: number | null, missedNotices: number): void {
    if (missedNotices > 0)
      this.gap(
        'sequence',
        missedNotices,
        beforeUs,
        tUs,
        `${count(missedNotices, 'frame')} of the probe did not arrive`,
      );
    const name = eventName(notice.code);
    if (name === null) this.counters.unknownEvents++;
    else this.#onItem({ kind: 'event', name, tUs, arg: notice.arg });
  }

  /** Tells a gap. */
  gap(cause: GapCause, missing: number | null, fromUs: number | null, toUs: number | null, text: string): void {
    this.#onItem({ kind: 'gap', cause, missing, fromUs, toUs, text });
  }
}

function count(n: number, noun: string): string {
  return `${n} ${noun}${n === 1 ? '' : 's'}`;
}
