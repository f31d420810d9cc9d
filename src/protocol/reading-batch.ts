import type { ReadingFlags } from './flags.ts';

/**
 * Consecutive readings of one range and one set of flags, with clock and index counted on beyond
 * their wraps.
 */
export interface ReadingBatch {
  /** Number of the first reading since readings were started. */
  index: number;
  /** Time of the first reading, in microseconds since the probe's boot. */
  tUs: number;
  periodUs: number;
  range: number;
  flags: ReadingFlags;
  flagBits: number;
  /** Readings that the probe had to drop since its last batch; 255 stands for 255 or more. */
  lost: number;
  /** The probe's running count of openings of the path too short for a reading, modulo 65536. */
  edges: number;
  /** Sums of 16 conversions. */
  codes: Uint16Array;
}
