import type { Calibration } from '../../measure/types.ts';
import type { ReadingBatch } from '../../protocol/reading-batch.ts';
import { batchValue } from '../engine/recent-readings.ts';

/**
 * Statistics of what a meter saw while the tips were on something, in ohm or volt. One value a
 * batch (about 7 ms).
 */
export interface MeterStatistics {
  count: number;
  min: number;
  max: number;
  mean: number;
  /** Standard deviation (n - 1); 0 below two values. */
  spread: number;
  /** Touches, counted when they begin. */
  contacts: number;
}

/** Running state of the statistics. Plain data. */
export interface MeterCount {
  count: number;
  min: number;
  max: number;
  mean: number;
  /** Sum of squared deviations from the mean (Welford, Technometrics 4 (1962) 419-420). */
  squares: number;
  contacts: number;
  touching: boolean;
  /**
   * The last value of a touch; it counts when the touch still holds after it, so that landing and
   * lifting bend no statistics.
   */
  waiting: number | null;
}

/** Returns the statistics before the first reading. */
export function freshCount(): MeterCount {
  return { count: 0, min: 0, max: 0, mean: 0, squares: 0, contacts: 0, touching: false, waiting: null };
}

/**
 * Returns the statistics after one more batch. The first and the last batch of a touch are left
 * out, and so are opens.
 */
export function stepCount(
  before: MeterCount,
  batch: ReadingBatch,
  calibration: Calibration,
  quantity: 'resistance' | 'voltage',
  feelsTips: boolean,
): MeterCount {
  const value = batchValue(batch, quantity, calibration);
  const seated = !feelsTips || (batch.flags.seatA && batch.flags.seatB);
  if (value === null || !Number.isFinite(value) || !seated) {
    return { ...before, touching: false, waiting: null };
  }
  if (!before.touching) return { ...before, touching: true, contacts: before.contacts + 1, waiting: null };
  const counted = before.waiting === null ? before : withValue(before, before.waiting);
  return { ...counted, waiting: value };
}

function withValue(before: MeterCount, value: number): MeterCount {
  const count = before.count + 1;
  const mean = before.mean + (value - before.mean) / count;
  return {
    ...before,
    count,
    mean,
    squares: before.squares + (value - before.mean) * (value - mean),
    min: before.count === 0 ? value : Math.min(before.min, value),
    max: before.count === 0 ? value : Math.max(before.max, value),
  };
}

/** Returns the statistics as they stand. */
export function statisticsOf({ count, min, max, mean, squares, contacts }: MeterCount): MeterStatistics {
  return { count, min, max, mean, spread: count < 2 ? 0 : Math.sqrt(squares / (count - 1)), contacts };
}
