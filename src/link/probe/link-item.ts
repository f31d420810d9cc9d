import type { DecoderCounters } from '../../protocol/frame-decoder.ts';
import type { EventName, ProbeIdentity } from '../../protocol/messages.ts';
import type { ReadingBatch } from '../../protocol/reading-batch.ts';
import type { NoticeCounters } from './notice-tracker.ts';
import type { RequestCounters } from './request-queue.ts';

/** Why something may be missing between two items. */
export type GapCause = 'sequence' | 'lost-readings' | 'reset' | 'silence' | 'closed';

/**
 * A stretch from which something is missing, or may be. Times in microseconds of the probe's clock;
 * `toUs` is null when the clock began anew.
 */
export interface GapItem {
  kind: 'gap';
  cause: GapCause;
  /** Notices missing (`sequence` before an event), else readings missing; null: not known. */
  missing: number | null;
  fromUs: number | null;
  toUs: number | null;
  text: string;
}

/** What a link tells, in order. */
export type LinkItem =
  | { kind: 'connected'; identity: ProbeIdentity }
  | { kind: 'readings'; batch: ReadingBatch }
  | { kind: 'event'; name: EventName; tUs: number; arg: number }
  | GapItem
  | { kind: 'disconnected'; why: string };

/** Counts of a whole session, over all its connections. */
export interface LinkCounters extends DecoderCounters, RequestCounters, NoticeCounters {
  /** Messages of types that only a newer probe knows. */
  unknownMessages: number;
  /**
   * Frames whose check value held but whose body did not, or was of readings that no probe can have
   * taken.
   */
  malformedMessages: number;
  reconnects: number;
}
