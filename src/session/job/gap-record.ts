import type { GapItem } from '../../link/probe/link-item.ts';

/**
 * Gaps that come sooner than this after one that is on record are put together into one, in
 * microseconds of probe time.
 */
const togetherUs = 5_000_000;

/**
 * Gaps of a session on their way to the record: however many come, a few entries tell of them all.
 */
export interface GapRecord {
  /** Probe time at which one was recorded last; null before the first. */
  recordedUs: number | null;
  /** Gaps since then, put together; null: none. */
  held: { gap: GapItem; gaps: number } | null;
}

export const noGaps: GapRecord = { recordedUs: null, held: null };

/**
 * Takes a gap at probe time `nowUs`. Returns the gap to be recorded now, or null when it waits for
 * others.
 */
export function takeGap({ recordedUs, held }: GapRecord, gap: GapItem, nowUs: number): [GapRecord, GapItem | null] {
  const all = held === null ? { gap, gaps: 1 } : { gap: joined(held.gap, gap), gaps: held.gaps + 1 };
  return isDue(recordedUs, nowUs) ? releaseGaps({ recordedUs, held: all }, nowUs) : [{ recordedUs, held: all }, null];
}

/** Returns the gap to be recorded now that the probe's clock is at `nowUs`, or null. */
export function dueGap(record: GapRecord, nowUs: number): [GapRecord, GapItem | null] {
  if (record.held === null || !isDue(record.recordedUs, nowUs)) return [record, null];
  return releaseGaps(record, nowUs);
}

/** Returns what still waits, to be recorded before what comes next. */
export function releaseGaps(record: GapRecord, nowUs: number): [GapRecord, GapItem | null] {
  const { held } = record;
  if (held === null) return [record, null];
  const text = held.gaps === 1 ? held.gap.text : `${held.gaps} gaps; the last: ${held.gap.text}`;
  return [
    { recordedUs: nowUs, held: null },
    { ...held.gap, text },
  ];
}

/** A clock that began anew is as far away as any. */
function isDue(recordedUs: number | null, nowUs: number): boolean {
  return recordedUs === null || Math.abs(nowUs - recordedUs) >= togetherUs;
}

function joined(before: GapItem, after: GapItem): GapItem {
  const missing = before.missing === null || after.missing === null ? null : before.missing + after.missing;
  return { ...after, missing, fromUs: before.fromUs };
}
