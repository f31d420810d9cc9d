import { formatQuantity } from '../../measure/reading/format.ts';
import type { Limits, Quantity } from '../../measure/types.ts';

/** A scale with its limit band. Positions run from 0 (left end) to 1. */
export interface Scale {
  quantity: Quantity;
  log: boolean;
  /** Ohm or volt at both ends. */
  from: number;
  to: number;
  ticks: { at: number; text: string }[];
  /** Where the limits allow a reading; null when there are none. */
  band: { from: number; to: number } | null;
}

/** A needle on a scale; `off` says that the value lies beyond an end. */
export interface Needle {
  at: number;
  off: 'low' | 'high' | null;
}

/** Limits whose ends are this many times apart get a log scale. */
const logFrom = 10;
const leastOhm = 1e-3;
const mostOhm = 1e8;

/**
 * Returns the scale for limits: log where they span decades (both bounds ten times apart, or a
 * resistance with a minimum alone, which reaches up to an open), else linear with a margin on both
 * sides of the band.
 */
export function scaleFor(limits: Limits): Scale {
  const { quantity, min, max } = limits;
  const spans = min !== undefined && min > 0 && (max === undefined || max / min >= logFrom);
  if (quantity === 'resistance' && spans) return logScale(limits, min, max ?? null);
  return linearScale(limits);
}

/** Returns the scale of a meter without limits: volts from -20 to 20, or ohms in decades. */
export function openScale(quantity: Quantity): Scale {
  if (quantity === 'voltage') return withTicks({ quantity, log: false, from: -20, to: 20, band: null });
  return withTicks({ quantity, log: true, from: 1e-2, to: 1e7, band: null });
}

/** Returns where a value stands. Infinity stands at the right end, off the scale. */
export function needleAt(scale: Scale, value: number): Needle {
  const at = positionOf(scale, value);
  if (at < 0) return { at: 0, off: 'low' };
  return at > 1 ? { at: 1, off: 'high' } : { at, off: null };
}

function positionOf({ log, from, to }: Pick<Scale, 'log' | 'from' | 'to'>, value: number): number {
  if (!log) return (value - from) / (to - from);
  if (value <= 0) return -1;
  return Math.log10(value / from) / Math.log10(to / from);
}

function logScale(limits: Limits, min: number, max: number | null): Scale {
  const top = max === null ? min * 10 : max * 10;
  const bottom = max === null ? min / 1e4 : min / 10;
  const from = Math.max(leastOhm, 10 ** Math.floor(Math.log10(bottom)));
  const to = Math.max(from * 100, Math.min(mostOhm, 10 ** Math.ceil(Math.log10(top))));
  return withTicks({ quantity: limits.quantity, log: true, from, to, band: bandOf({ log: true, from, to }, limits) });
}

function linearScale(limits: Limits): Scale {
  const { quantity, min, max } = limits;
  const size = sizeOf(limits);
  let from = (min ?? Math.min(0, (max ?? 0) - size)) - (min === undefined ? 0 : size);
  let to = (max ?? (min ?? 0) + size) + size * (max === undefined ? 1 : 0.7);
  // no resistance is far below zero: nothing is wasted on it, unless the limits themselves lie
  // there
  if (quantity === 'resistance' && (min === undefined || min >= 0)) from = Math.max(0, from);
  if (!(to > from)) {
    from -= 1;
    to += 1;
  }
  return withTicks({ quantity, log: false, from, to, band: bandOf({ log: false, from, to }, limits) });
}

/**
 * What the margins are measured in: the width of the band (a thousandth of its place at least), or
 * the size of the only bound.
 */
function sizeOf({ min, max }: Limits): number {
  if (min !== undefined && max !== undefined) return Math.max(max - min, Math.max(Math.abs(min), Math.abs(max)) / 1000);
  return Math.abs(max ?? min ?? 1) || 1;
}

function bandOf(ends: Pick<Scale, 'log' | 'from' | 'to'>, { min, max }: Limits): Scale['band'] {
  if (min === undefined && max === undefined) return null;
  const clamp = (at: number) => Math.min(1, Math.max(0, at));
  return {
    from: min === undefined ? 0 : clamp(positionOf(ends, min)),
    to: max === undefined ? 1 : clamp(positionOf(ends, max)),
  };
}

function withTicks(scale: Omit<Scale, 'ticks'>): Scale {
  const values = scale.log ? decades(scale.from, scale.to) : steps(scale.from, scale.to);
  const ticks = values
    .map((value) => ({ at: positionOf(scale, value), text: formatQuantity(value, scale.quantity) }))
    .filter(({ at }) => at >= 0 && at <= 1);
  return { ...scale, ticks };
}

function decades(from: number, to: number): number[] {
  const values: number[] = [];
  for (let n = Math.round(Math.log10(from)); n <= Math.round(Math.log10(to)); n++) values.push(Number(`1e${n}`));
  return values;
}

/** About four steps of 1, 2 or 5 times a power of ten. */
function steps(from: number, to: number): number[] {
  const raw = (to - from) / 4;
  const power = 10 ** Math.floor(Math.log10(raw));
  const step = power * ([1, 2, 5].find((n) => n * power >= raw * 0.7) ?? 10);
  const first = Math.ceil(from / step - 1e-9);
  const last = Math.floor(to / step + 1e-9);
  return Array.from({ length: Math.max(0, last - first + 1) }, (_, i) => Number(((first + i) * step).toPrecision(6)));
}
