interface Item {
  readonly at: number;
  readonly run: () => void;
  cancelled: boolean;
}

/**
 * Things that will happen in the world around the chip, in order of time; equal times keep the
 * order in which they were put in.
 */
export class Agenda {
  readonly #items: Item[] = [];

  /** Time of the next thing, or Infinity. */
  get nextAt(): number {
    const first = this.#items[0];
    return first === undefined ? Number.POSITIVE_INFINITY : first.at;
  }

  /**
   * Puts in something to run at `at`; returns a function that takes it out again (no effect once it
   * ran).
   */
  put(at: number, run: () => void): () => void {
    const item: Item = { at, run, cancelled: false };
    let low = 0;
    let high = this.#items.length;
    while (low < high) {
      const middle = (low + high) >> 1;
      if (this.#items[middle]!.at <= at) low = middle + 1;
      else high = middle;
    }
    this.#items.splice(low, 0, item);
    return () => {
      if (item.cancelled) return;
      item.cancelled = true;
      const index = this.#items.indexOf(item);
      if (index >= 0) this.#items.splice(index, 1);
    };
  }

  /** Runs everything due at `now` or before, also what that puts in. */
  runDue(now: number): void {
    while (this.#items.length > 0 && this.#items[0]!.at <= now) this.#items.shift()!.run();
  }

  /** Takes everything out without running it. */
  takeAll(): { readonly at: number; readonly run: () => void }[] {
    return this.#items.splice(0);
  }
}
