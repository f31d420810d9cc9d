import type { Timers } from '../../src/ports/timers.ts';
import { Agenda } from '../machine/agenda.ts';

type Cancel = () => void;

/**
 * Time-outs by the probe's clock while that runs, by the machine's own while the port is closed and
 * the probe's clock stands.
 *
 * They run between slices of probe time, never inside one.
 */
export class ProbeTimers implements Timers {
  readonly #agenda = new Agenda();
  readonly #nowUs: () => number;
  #running = false;

  /** @param nowUs probe time in microseconds */
  constructor(nowUs: () => number) {
    this.#nowUs = nowUs;
  }

  set(ms: number, run: () => void): Cancel {
    let cancelled = false;
    const once = (): void => {
      if (!cancelled) run();
      cancelled = true;
    };
    const takeOut = this.#running ? this.#agenda.put(this.#nowUs() + ms * 1000, once) : wait(ms, once);
    return () => {
      cancelled = true;
      takeOut();
    };
  }

  clear(timer: unknown): void {
    if (typeof timer === 'function') (timer as Cancel)();
  }

  now(): number {
    return this.#nowUs() / 1000;
  }

  /** From now on the probe's clock counts. */
  start(): void {
    this.#running = true;
  }

  /** Runs what is due; to be called after each slice. */
  runDue(): void {
    this.#agenda.runDue(this.#nowUs());
  }

  /** The probe's clock stops for good: what still waits goes on by the machine's clock. */
  stop(): void {
    this.#running = false;
    const nowUs = this.#nowUs();
    for (const { at, run } of this.#agenda.takeAll()) wait(Math.max(0, (at - nowUs) / 1000), run);
  }
}

function wait(ms: number, run: () => void): Cancel {
  const timer = setTimeout(run, ms);
  return () => clearTimeout(timer);
}
