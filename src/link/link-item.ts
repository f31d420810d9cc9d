import type { EventName, ProbeIdentity } from '../protocol/messages.ts';
import type { ReadingBatch } from '../protocol/reading-batch.ts';

/** A hole in what the probe sent. Times are probe times in microseconds since its boot. */
export interface LinkGap {
  kind: 'gap';
  cause: 'sequence' | 'lost-readings' | 'reset' | 'silence' | 'closed';
  /** Readings missing, where they could be counted. */
  missing: number | null;
  fromUs: number | null;
  toUs: number | null;
  text: string;
}

/** What a link tells, in the order in which it happened. */
export type LinkItem =
  | { kind: 'connected'; identity: ProbeIdentity }
  | { kind: 'readings'; batch: ReadingBatch }
  | { kind: 'event'; name: EventName; tUs: number; arg: number }
  | LinkGap
  | { kind: 'disconnected'; why: string };

/** Counts of a whole session, over reconnects; they go into the record. */
export interface LinkCounters {
  frames: number;
  crcErrors: number;
  badEscapes: number;
  oversize: number;
  runts: number;
  bytes: number;
  /** Notices whose type or event code this program does not know (a newer probe). */
  unknown: number;
  malformed: number;
  /** Holes in the probe's own numbering. */
  sequenceGaps: number;
  readings: number;
  readingsMissing: number;
  /** Requests sent again because no answer came in time. */
  resends: number;
  refusals: number;
  reconnects: number;
  resets: number;
}
