import type { ReadingBatch } from '../../protocol/reading-batch.ts';
import type { Calibration, ContactSettings, ContactSummary } from '../types.ts';
import { edgesTellBelowCode } from './held-touch.ts';
import { type PathState, pathOpen, stepPath } from './path-state.ts';
import { rangeModels } from './range-models.ts';

/** Codes of a stretch of a hold in which the path was closed: what is left of its readings. */
export interface HoldBucket {
  tUs: number;
  range: number;
  n: number;
  min: number;
  max: number;
  mean: number;
}

/** Length of a bucket, in microseconds of probe time. */
const bucketUs = 50_000;

/** A hold as far as it has come. Plain data. */
export interface Hold {
  fromUs: number;
  heldUs: number;
  buckets: HoldBucket[];
  /** Openings of the path between seated tips. */
  dropOuts: { fromUs: number; toUs: number }[];
  /**
   * Openings shorter than a reading, from the probe's edge counter: at least so many, with their
   * times.
   */
  brief: { tUs: number; count: number }[];
}

/**
 * Follows a touch that has settled and is held: what the path reads, in buckets, and how often it
 * opens.
 *
 * A reading in which a tip was not seated is left out: it tells of the hand. The reading before an
 * opening and the one after it are left out too, as the path opened or closed in the middle of
 * them.
 */
export class HoldRecorder {
  readonly #settings: ContactSettings;
  readonly #calibration: Calibration;
  readonly #fromUs: number;
  readonly #path: PathState = { ...pathOpen, closed: true };
  readonly #buckets: HoldBucket[] = [];
  readonly #dropOuts: Hold['dropOuts'] = [];
  readonly #brief: Hold['brief'] = [];
  #bucket: (HoldBucket & { sum: number }) | null = null;
  /**
   * The latest reading of a closed path, kept back until the next shows that the path stayed so.
   */
  #last: { code: number; tUs: number; range: number } | null = null;
  #openSinceUs: number | null = null;
  #edges: { count: number; range: number } | null = null;
  /** Edges of the batch before, not yet explained by an opening. */
  #pending = 0;
  #nowUs: number;

  constructor(fromUs: number, settings: ContactSettings, calibration: Calibration) {
    this.#fromUs = fromUs;
    this.#nowUs = fromUs;
    this.#settings = settings;
    this.#calibration = calibration;
  }

  /** Takes a batch in resistance mode; returns whether a bucket was filled by it. */
  push(batch: ReadingBatch): boolean {
    const { flags, range, periodUs } = batch;
    if (flags.voltage || flags.live || !flags.excitation) return false;
    const levels = rangeModels(this.#calibration, this.#settings).of(range, flags.level === 'dry', false)?.levels;
    const seated = !this.#settings.seatSense || (flags.seatA && flags.seatB);
    const filled = this.#buckets.length;
    let opened = this.#openSinceUs !== null || this.#path.beyondSinceUs !== null;
    let tUs = batch.tUs;
    for (const code of batch.codes) {
      if (tUs > this.#fromUs && seated && levels !== undefined && levels !== null) {
        opened = this.#reading(code, tUs, range, levels, flags.auto) || opened;
      }
      if (!seated) this.#last = null;
      tUs += periodUs;
    }
    this.#countEdges(batch, seated, opened);
    this.#nowUs = Math.max(this.#nowUs, tUs - periodUs);
    return this.#buckets.length > filled;
  }

  /** Returns the hold up to now; an opening that lasts still is counted up to now. */
  hold(): Hold {
    const dropOuts = this.#dropOuts.map((one) => ({ ...one }));
    if (this.#openSinceUs !== null) dropOuts.push({ fromUs: this.#openSinceUs, toUs: this.#nowUs });
    const brief = this.#brief.map((one) => ({ ...one }));
    return { fromUs: this.#fromUs, heldUs: this.#nowUs - this.#fromUs, buckets: [...this.#buckets], dropOuts, brief };
  }

  #reading(code: number, tUs: number, range: number, levels: Parameters<typeof stepPath>[3], auto: boolean): boolean {
    const path = this.#path;
    const change = stepPath(path, code, tUs, levels, auto);
    if (change === 'broke') this.#openSinceUs = path.brokeUs;
    if (change === 'made' || change === 'blip') {
      this.#dropOuts.push({ fromUs: this.#openSinceUs ?? path.brokeUs, toUs: tUs });
      this.#openSinceUs = null;
    }
    const closed = path.closed && path.beyondSinceUs === null;
    if (!closed || change !== 'none') {
      this.#last = null;
      return true;
    }
    if (this.#last !== null) this.#keep(this.#last);
    this.#last = { code, tUs, range };
    return false;
  }

  #keep({ code, tUs, range }: { code: number; tUs: number; range: number }): void {
    let bucket = this.#bucket;
    if (bucket !== null && (bucket.range !== range || tUs - bucket.tUs >= bucketUs)) {
      const { sum, ...full } = bucket;
      this.#buckets.push({ ...full, mean: sum / full.n });
      bucket = null;
    }
    bucket ??= { tUs, range, n: 0, min: code, max: code, mean: code, sum: 0 };
    bucket.n += 1;
    bucket.sum += code;
    bucket.min = Math.min(bucket.min, code);
    bucket.max = Math.max(bucket.max, code);
    this.#bucket = bucket;
  }

  /**
   * Edges that no opening in the readings explains, neither in this batch nor in the next, were
   * openings shorter than a reading.
   */
  #countEdges(batch: ReadingBatch, seated: boolean, opened: boolean): void {
    const before = this.#edges;
    const edges = before === null ? 0 : (batch.edges - before.count) & 0xffff;
    if (this.#pending > 0 && !opened) this.#brief.push({ tUs: batch.tUs, count: this.#pending });
    const median = this.#last?.code ?? Number.POSITIVE_INFINITY;
    // changing range moves the comparator's threshold: its edges are no openings
    const tells = before?.range === batch.range && seated && !opened && median < edgesTellBelowCode;
    this.#pending = tells ? edges : 0;
    this.#edges = { count: batch.edges, range: batch.range };
  }
}

/**
 * Returns the openings of a hold as the record stores them; those after `untilUs` (of a lift,
 * perhaps) are left out.
 */
export function dropOutsOf(hold: Hold, untilUs = Number.POSITIVE_INFINITY): ContactSummary['dropOuts'] {
  const lengths = hold.dropOuts.filter(({ toUs }) => toUs <= untilUs).map(({ fromUs, toUs }) => toUs - fromUs);
  const brief = hold.brief.filter(({ tUs }) => tUs <= untilUs);
  return {
    count: lengths.length,
    longestUs: Math.max(0, ...lengths),
    totalUs: lengths.reduce((sum, us) => sum + us, 0),
    subReading: brief.reduce((sum, { count }) => sum + count, 0),
  };
}
