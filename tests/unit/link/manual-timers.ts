import type { Timers } from '../../../src/ports/timers.ts';

/** Timers that go when the test says so. */
export class ManualTimers implements Timers {
  #nowMs = 0;
  #waiting: { at: number; run: () => void }[] = [];

  set(ms: number, run: () => void): unknown {
    const timer = { at: this.#nowMs + ms, run };
    this.#waiting.push(timer);
    return timer;
  }

  clear(timer: unknown): void {
    this.#waiting = this.#waiting.filter((waiting) => waiting !== timer);
  }

  now(): number {
    return this.#nowMs;
  }

  /** Timers that wait. */
  get count(): number {
    return this.#waiting.length;
  }

  /** Lets so much time pass, timer by timer, with all that follows from each. */
  async pass(ms: number): Promise<void> {
    const until = this.#nowMs + ms;
    await settle();
    for (;;) {
      const next = this.#waiting.reduce<{ at: number; run: () => void } | null>(
        (first, timer) => (timer.at <= until && (first === null || timer.at < first.at) ? timer : first),
        null,
      );
      if (next === null) break;
      this.#nowMs = Math.max(this.#nowMs, next.at);
      this.clear(next);
      next.run();
      await settle();
    }
    this.#nowMs = until;
  }
}

/** Returns when every promise that could go on has gone on. */
export async function settle(): Promise<void> {
  for (let i = 0; i < 3; i++) await new Promise((resolve) => setImmediate(resolve));
}
