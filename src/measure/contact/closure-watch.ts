import type { ReadingBatch } from '../../protocol/reading-batch.ts';
import { flagBits } from '../../protocol/table.ts';
import type { Closure, OpenedBy } from '../judge/closure.ts';
import type { CaptureWindow } from '../types.ts';

/** Flags that may differ between readings of one window. */
const loose = flagBits.over;

/** Collects the readings of one closure of the bridge, from its closing to its opening. */
export class ClosureWatch {
  readonly #feelsTips: boolean;
  readonly #windows: CaptureWindow[] = [];
  #closedUs: number | null = null;
  #lastUs = 0;
  #done = false;

  /**
   * `feelsTips`: the probe tells whether both tips are seated; readings without that show no
   * closure between the pads.
   */
  constructor(feelsTips: boolean) {
    this.#feelsTips = feelsTips;
  }

  /** Takes the probe's word that the bridge has closed. */
  closed(tUs: number): void {
    this.#closedUs ??= tUs;
  }

  /** Takes the probe's word that the bridge has opened; returns the whole closure, once. */
  opened(tUs: number, by: OpenedBy): Closure | null {
    if (this.#done) return null;
    this.#done = true;
    return { windows: this.#windows, closedUs: this.#closedUs ?? tUs, openedUs: tUs, openedBy: by };
  }

  /**
   * Takes a batch; returns the closure when the batch shows that it has ended without a word from
   * the probe.
   */
  push(batch: ReadingBatch): Closure | null {
    const { flags, codes, tUs, periodUs } = batch;
    if (this.#done || codes.length === 0) return null;
    if (!flags.bridge) return this.#windows.length > 0 ? this.opened(tUs, 'unseen') : null;
    this.#closedUs ??= tUs - periodUs;
    if (!flags.voltage || (this.#feelsTips && !(flags.seatA && flags.seatB))) return null;
    const last = this.#windows.at(-1);
    const straightOn = Math.abs(tUs - this.#lastUs - periodUs) <= periodUs / 4 && batch.lost === 0;
    const alike = last !== undefined && last.periodUs === periodUs && ((last.flagBits ^ batch.flagBits) & ~loose) === 0;
    if (last !== undefined && straightOn && alike) {
      last.codes.push(...codes);
      last.flagBits |= batch.flagBits;
    } else {
      this.#windows.push({
        tUs,
        periodUs,
        range: batch.range,
        level: flags.level,
        flagBits: batch.flagBits,
        codes: [...codes],
      });
    }
    this.#lastUs = tUs + (codes.length - 1) * periodUs;
    return null;
  }
}
