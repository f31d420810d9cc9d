// Simple worlds at the tips, set by the test itself.

import { type TipCircuit, type TipWorld, tipsInAir, type WorldClock } from '../../sim/hands/tips.ts';
import type { Controls } from '../../sim/probe/controls.ts';

/** A world whose answer is a variable of the test. */
export class SetWorld implements TipWorld {
  private circuit: TipCircuit = tipsInAir;
  private clock: WorldClock | null = null;

  excited: (volt: number) => void = () => undefined;

  connect(clock: WorldClock): void {
    this.clock = clock;
  }

  set(circuit: Partial<TipCircuit>): void {
    this.circuit = { ...tipsInAir, ...circuit };
    this.clock?.changed();
  }

  look(controls: Controls, bridgeOhm: number): TipCircuit {
    if (!controls.bridge) return this.circuit;
    // device and bridge in parallel
    const { openVolt, sourceOhm } = this.circuit;
    if (!Number.isFinite(sourceOhm)) return { ...this.circuit, openVolt: 0, sourceOhm: bridgeOhm };
    const share = bridgeOhm / (bridgeOhm + sourceOhm);
    return { ...this.circuit, openVolt: openVolt * share, sourceOhm: sourceOhm * share };
  }
}

/** Tips firmly on a resistor. */
export const onResistor = (ohm: number): Partial<TipCircuit> => ({ sourceOhm: ohm, seatA: true, seatB: true });
/** Tips firmly on a voltage. */
export const onVoltage = (volt: number, ohm: number): Partial<TipCircuit> => ({
  openVolt: volt,
  sourceOhm: ohm,
  seatA: true,
  seatB: true,
});
