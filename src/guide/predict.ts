import { type CircuitState, solveCircuit } from './circuit.ts';
import type { Prediction } from './kinds/kind.ts';
import { kindOf } from './kinds/registry.ts';
import type { Check, Guide } from './types.ts';

/** What a device has that is not in the guide; the rest of the state is each check's own. */
export type DeviceState = Partial<Pick<CircuitState, 'faults' | 'linkOhm'>>;

/** Returns what the circuit predicts for a check of a device in this state. */
export function predictCheck(guide: Guide, check: Check, device: DeviceState = {}): Prediction {
  const faults = device.faults ?? [];
  return kindOf(check).predict(
    guide,
    check,
    (how) =>
      solveCircuit(guide, { ...how, faults, ...(device.linkOhm === undefined ? {} : { linkOhm: device.linkOhm }) }),
    faults,
  );
}

/** Returns what the circuit predicts for every check of a guide, in the guide's order; a healthy device by default. */
export function predictChecks(guide: Guide, device: DeviceState = {}): Prediction[] {
  return guide.checks.map((check) => predictCheck(guide, check, device));
}
