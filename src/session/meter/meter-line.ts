import { readWindow } from '../../measure/reading/read-window.ts';
import type { Calibration, Reading } from '../../measure/types.ts';
import type { ReadingBatch } from '../../protocol/reading-batch.ts';

/** One line of the meter. */
export interface MeterLine {
  tUs: number;
  reading: Reading;
  seatA: boolean;
  seatB: boolean;
  live: boolean;
  range: number;
}

/** Readings that are gathered for the next line. */
export interface LineGather {
  first: ReadingBatch | null;
  codes: readonly number[];
}

const everyUs = 100_000;

/** Returns a gathering without readings. */
export function freshGather(): LineGather {
  return { first: null, codes: [] };
}

/**
 * Returns the gathering after one more batch, and a line when a tenth of a second of like readings
 * is there, else null. A line never spans a change of range or flags.
 */
export function stepGather(
  before: LineGather,
  batch: ReadingBatch,
  calibration: Calibration,
): { gather: LineGather; line: MeterLine | null } {
  const { first } = before;
  const follows = first !== null && first.range === batch.range && first.flagBits === batch.flagBits;
  const gather = follows
    ? { first, codes: [...before.codes, ...batch.codes] }
    : { first: batch, codes: [...batch.codes] };
  const { tUs, periodUs, range, flagBits, flags } = gather.first;
  const spanUs = gather.codes.length * periodUs;
  if (spanUs < everyUs || !(flags.excitation || flags.voltage)) return { gather, line: null };
  const window = { tUs, periodUs, range, level: flags.level, flagBits, codes: [...gather.codes] };
  const reading = readWindow(window, calibration);
  const { seatA, seatB, live } = flags;
  const line = { tUs: tUs + spanUs, reading, seatA, seatB, live: live && !flags.voltage, range };
  return { gather: freshGather(), line };
}

/** Returns in words what is at the tips. */
export function contactText({ seatA, seatB, live }: MeterLine): string {
  if (live) return 'voltage on the tips: excitation off';
  if (seatA && seatB) return 'both tips seated';
  if (!seatA && !seatB) return 'tips in the air';
  return seatA ? 'only tip A seated' : 'only tip B seated';
}
