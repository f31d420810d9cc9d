import type { Controls } from '../probe/controls.ts';

/** What stands between the probe's two tips, as the front end sees it. */
export interface TipCircuit {
  /** Voltage between tip A and tip B with nothing connected to them but the device. */
  readonly openVolt: number;
  /**
   * Resistance between the tips inside the four-wire connection; Infinity with a tip in the air.
   */
  readonly sourceOhm: number;
  /** Contact resistance of both force pins, in series with the probe's source. */
  readonly forceOhm: number;
  /** Both pins of the tip touch one conductor. */
  readonly seatA: boolean;
  readonly seatB: boolean;
}

/** Tips in the air, touching nothing. */
export const tipsInAir: TipCircuit = {
  openVolt: 0,
  sourceOhm: Number.POSITIVE_INFINITY,
  forceOhm: 0,
  seatA: false,
  seatB: false,
};

/** What the world around the tips may ask of the probe's time. */
export interface WorldClock {
  /** Probe time in microseconds. */
  readonly nowUs: number;
  /** Has `run` called at `tUs`; returns a function that takes it back. */
  at(tUs: number, run: () => void): () => void;
  /** To be called when {@link TipWorld.look} would answer otherwise than before. */
  changed(): void;
}

/** The world that the tips are in. */
export interface TipWorld {
  /** Called once, when the probe is switched on. */
  connect(clock: WorldClock): void;
  /**
   * Returns what stands between the tips now; with `controls.bridge` the bridge (`bridgeOhm`) joins
   * them and is part of the answer.
   */
  look(controls: Controls, bridgeOhm: number): TipCircuit;
  /**
   * Returns the brightness at the light sensor, 0 (dark) to 1; null, or no such function: none is
   * plugged in.
   */
  light?(tUs: number): number | null;
  /**
   * Called when the voltage that the front end puts between the tips was set anew (0 with the
   * source off).
   */
  excited?(volt: number): void;
}
