import { readingFlags } from '../protocol/flags.ts';
import { type EventNotice, eventName, type ReadingsNotice } from '../protocol/messages.ts';
import { Unwrap } from '../protocol/unwrap.ts';
import type { LinkCounters, LinkItem } from './link-item.ts';

/** Turns the notices of one connection into link items: unwraps clock and index, and finds the holes. */
export class StreamWatch {
  readonly #counters: LinkCounters;
  readonly #clock = new Unwrap(32);
  readonly #index = new Unwrap(16);
  #nowUs: number | null = null;
  #noticeSeq: number | null = null;
  #nextIndex: number | null = null;
  #endUs: number | null = null;

  constructor(counters: LinkCounters) {
    this.#counters = counters;
  }

  /** Latest probe time seen, in microseconds since its boot; null before any. */
  get nowUs(): number | null {
    return this.#nowUs;
  }

  /** Streaming begins anew: the index starts again. */
  restartIndex(): void {
    this.#index.restart();
    this.#nextIndex = null;
    this.#endUs = null;
  }

  /** The probe has booted: its clock, index and numbering start again. */
  restart(): void {
    this.restartIndex();
    this.#clock.restart();
    this.#nowUs = null;
    this.#noticeSeq = null;
  }

  readings(notice: ReadingsNotice): LinkItem[] {
    const skipped = this.#skippedNotices(notice.seq);
    const tUs = this.#time(notice.tUs);
    const index = this.#index.take(notice.index);
    const missing = this.#nextIndex === null ? 0 : index - this.#nextIndex;
    const items: LinkItem[] = [];
    if (missing !== 0 || skipped > 0) items.push(this.#gap(missing, notice.lost, tUs));
    const { periodUs, range, flags, lost, edges, codes } = notice;
    this.#nextIndex = index + codes.length;
    this.#endUs = tUs + codes.length * periodUs;
    this.#nowUs = Math.max(this.#nowUs ?? 0, this.#endUs);
    this.#counters.readings += codes.length;
    items.push({
      kind: 'readings',
      batch: { index, tUs, periodUs, range, flags: readingFlags(flags), flagBits: flags, lost, edges, codes },
    });
    return items;
  }

  event(notice: EventNotice): LinkItem[] {
    const skipped = this.#skippedNotices(notice.seq);
    const tUs = this.#time(notice.tUs);
    const items: LinkItem[] = skipped > 0 ? [this.#gap(0, 0, tUs)] : [];
    const name = eventName(notice.code);
    if (name === null) this.#counters.unknown += 1;
    else items.push({ kind: 'event', name, tUs, arg: notice.arg });
    return items;
  }

  /** Returns a hole from the last reading to an unknown end. */
  gap(cause: 'reset' | 'silence' | 'closed', text: string): LinkItem {
    return { kind: 'gap', cause, missing: null, fromUs: this.#endUs, toUs: null, text };
  }

  #time(tUs: number): number {
    const whole = this.#clock.take(tUs);
    this.#nowUs = Math.max(this.#nowUs ?? 0, whole);
    return whole;
  }

  /** Returns how many notices were skipped before this one, by the probe's 8-bit numbering. */
  #skippedNotices(seq: number): number {
    const skipped = this.#noticeSeq === null ? 0 : (seq - this.#noticeSeq - 1) & 0xff;
    this.#noticeSeq = seq;
    return skipped;
  }

  #gap(missing: number, lost: number, toUs: number): LinkItem {
    this.#counters.sequenceGaps += 1;
    this.#counters.readingsMissing += Math.max(0, missing);
    const cause = missing > 0 && lost >= missing ? 'lost-readings' : 'sequence';
    const text =
      cause === 'lost-readings'
        ? `the probe dropped ${missing} readings: it could not send them in time`
        : missing > 0
          ? `${missing} readings were lost on the line`
          : 'a message of the probe was lost on the line';
    return { kind: 'gap', cause, missing: Math.max(0, missing), fromUs: this.#endUs, toUs, text };
  }
}
