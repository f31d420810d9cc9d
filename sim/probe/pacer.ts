/** A probe further behind than this lets time slip instead of chasing it. */
const longestLagUs = 100_000;
/** After a slip the probe still gets this much, so that it moves at all. */
const slipStepUs = 2_000;

/** Ties probe time to a wall clock: says how far the probe may run now. */
export class Pacer {
  /** Times that the machine was too busy and probe time slipped behind the wall clock. */
  slips = 0;
  readonly #nowMs: () => number;
  #epochMs = 0;
  #epochUs = 0;

  /** @param nowMs the wall clock, monotonic, in milliseconds */
  constructor(nowMs: () => number = () => performance.now()) {
    this.#nowMs = nowMs;
  }

  /** Makes the present moment of the wall clock the moment `probeUs` of the probe. */
  begin(probeUs: number): void {
    this.#epochMs = this.#nowMs();
    this.#epochUs = probeUs;
  }

  /**
   * Returns the probe time that belongs to the present moment; slips when the probe is too far
   * behind.
   */
  targetUs(probeUs: number): number {
    const targetUs = this.#epochUs + (this.#nowMs() - this.#epochMs) * 1000;
    if (targetUs - probeUs <= longestLagUs) return targetUs;
    this.slips++;
    this.begin(probeUs);
    return probeUs + slipStepUs;
  }
}
