import { liveValues, type RecentReadings, traceUs } from '../../session/engine/recent-readings.ts';
import { needleAt, type Scale } from './scale.ts';

/**
 * The last two seconds on the scale: place in time (0 oldest .. 1 now) and height (0..1); null
 * where nothing was measured.
 */
export interface TracePoint {
  x: number;
  y: number | null;
}

/** What one column of a drawn trace spans, in heights of 0..1. */
export interface TraceColumn {
  low: number;
  high: number;
}

/** Returns the trace of a scale's quantity, one point a batch. */
export function tracePoints(live: RecentReadings, scale: Scale, feelsTips: boolean): TracePoint[] {
  const fromUs = live.tUs - traceUs;
  return liveValues(live, scale.quantity, feelsTips).map(({ tUs, value }) => ({
    x: Math.min(1, Math.max(0, (tUs - fromUs) / traceUs)),
    y: value === null ? null : needleAt(scale, value).at,
  }));
}

/**
 * Returns what each of `count` columns spans, oldest first; null where there is nothing. Quick
 * changes widen a column, none is lost.
 */
export function traceColumns(points: readonly TracePoint[], count: number): (TraceColumn | null)[] {
  const columns: (TraceColumn | null)[] = Array.from({ length: count }, () => null);
  for (const { x, y } of points) {
    if (y === null) continue;
    const index = Math.min(count - 1, Math.floor(x * count));
    const column = columns[index];
    columns[index] = column ? { low: Math.min(column.low, y), high: Math.max(column.high, y) } : { low: y, high: y };
  }
  return columns;
}
