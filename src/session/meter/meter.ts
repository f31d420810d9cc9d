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

const everyUs = 100_000;

/** Gathers readings into lines, about ten a second; a line never spans a change of range or flags. */
export class MeterState {
  calibration: Calibration | null = null;
  #first: ReadingBatch | null = null;
  #codes: number[] = [];

  /** Returns a line when a tenth of a second of like readings is there, else null. */
  take(batch: ReadingBatch): MeterLine | null {
    const first = this.#first;
    if (first === null || first.range !== batch.range || first.flagBits !== batch.flagBits) {
      this.#first = batch;
      this.#codes = [];
    }
    this.#codes.push(...batch.codes);
    const { tUs, periodUs, range, flagBits, flags } = this.#first ?? batch;
    const spanUs = this.#codes.length * periodUs;
    if (spanUs < everyUs || this.calibration === null || !(flags.excitation || flags.voltage)) return null;
    const window = { tUs, periodUs, range, level: flags.level, flagBits, codes: this.#codes };
    const reading = readWindow(window, this.calibration);
    this.#first = null;
    const { seatA, seatB, live } = flags;
    return { tUs: tUs + spanUs, reading, seatA, seatB, live: live && !flags.voltage, range };
  }
}

/** Returns in words what is at the tips. */
export function contactText({ seatA, seatB, live }: MeterLine): string {
  if (live) return 'voltage on the tips: excitation off';
  if (seatA && seatB) return 'both tips seated';
  if (!seatA && !seatB) return 'tips in the air';
  return seatA ? 'only tip A seated' : 'only tip B seated';
}
