import type { ReadingBatch } from '../../protocol/reading-batch.ts';
import { flagBits } from '../../protocol/table.ts';
import type { CaptureWindow } from '../types.ts';
import { readingsInWindow } from './contact-settings.ts';
import { SteadyWindow } from './steady-window.ts';

/** Flags that may differ between readings of one window. */
const loose = flagBits.over;

/**
 * The readings that stand now, with what they have in common: one range, level, period and set of
 * flags, and no gap. Whatever breaks that empties the window.
 */
export class StandingWindow {
  steady: SteadyWindow;
  readonly #windowUs: number;
  #periodUs = 0;
  #range = -1;
  #flagBits = 0;
  #lastUs = 0;

  constructor(windowUs: number, from?: CaptureWindow) {
    this.#windowUs = windowUs;
    this.steady = new SteadyWindow(from === undefined ? 1 : readingsInWindow(windowUs, from.periodUs));
    if (from === undefined) return;
    this.#periodUs = from.periodUs;
    this.#range = from.range;
    this.#flagBits = from.flagBits;
    for (const code of from.codes) this.steady.push(code);
    this.#lastUs = from.tUs + Math.max(0, from.codes.length - 1) * from.periodUs;
  }

  /** To be called before a batch's readings: empties the window unless they carry straight on. */
  join(batch: ReadingBatch): void {
    if (batch.periodUs !== this.#periodUs) {
      this.steady = new SteadyWindow(readingsInWindow(this.#windowUs, batch.periodUs));
    }
    // a quarter of a period: more than the clock's steps, less than one reading
    const straightOn = Math.abs(batch.tUs - this.#lastUs - batch.periodUs) <= batch.periodUs / 4;
    const alike = batch.range === this.#range && ((batch.flagBits ^ this.#flagBits) & ~loose) === 0;
    if (!straightOn || !alike || batch.lost > 0) this.steady.clear();
    if (this.steady.size === 0) this.#flagBits = 0;
    this.#flagBits |= batch.flagBits;
    this.#periodUs = batch.periodUs;
    this.#range = batch.range;
  }

  push(code: number, tUs: number): void {
    this.steady.push(code);
    this.#lastUs = tUs;
  }

  /** Returns the readings as a window of raw codes; without any it is empty. */
  capture(): CaptureWindow {
    const codes = this.steady.codes();
    return {
      tUs: this.#lastUs - Math.max(0, codes.length - 1) * this.#periodUs,
      periodUs: this.#periodUs,
      range: this.#range,
      level: (this.#flagBits & flagBits.dry) === 0 ? 'normal' : 'dry',
      flagBits: this.#flagBits,
      codes,
    };
  }
}
