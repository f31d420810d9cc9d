/**
 * Counts on where a counter of the wire wraps: the probe's 32-bit microsecond clock wraps every
 * 71.6 minutes, the 16-bit reading index every 58 seconds at the standard rate.
 *
 * A value is taken as the one nearest to the last, so a value slightly older than the last is no
 * wrap, and up to half the counter's span may pass unseen.
 */
export class Unwrap {
  readonly #span: number;
  #last: number | null = null;

  /** @param bits width of the counter, 1..32 */
  constructor(bits: number) {
    this.#span = 2 ** bits;
  }

  /** Returns the whole count of a counter value; the first value counts as itself. */
  take(value: number): number {
    if (this.#last === null) {
      this.#last = value;
      return value;
    }
    const whole = this.nearest(value);
    if (whole > this.#last) this.#last = whole;
    return whole;
  }

  /** Returns what {@link take} would, without taking the value. */
  nearest(value: number): number {
    if (this.#last === null) return value;
    const ahead = (((value - this.#last) % this.#span) + this.#span) % this.#span;
    return this.#last + (ahead < this.#span / 2 ? ahead : ahead - this.#span);
  }

  /** The largest count so far, or null. */
  get last(): number | null {
    return this.#last;
  }

  /** Forgets all: the counter has started anew. */
  restart(): void {
    this.#last = null;
  }
}
