/** The clock of time-outs, so that tests and transports in virtual time can bring their own. */
export interface Timers {
  /**
   * Calls `run` once, `ms` milliseconds from now, unless cleared. Returns what {@link clear} takes.
   */
  set(ms: number, run: () => void): unknown;
  clear(timer: unknown): void;
  /** Milliseconds from some fixed moment. */
  now(): number;
}
