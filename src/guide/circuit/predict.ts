import type { Prediction, SolveFor } from '../../checks/kind.ts';
import { kindOf } from '../../checks/registry.ts';
import type { Check, Guide } from '../types.ts';
import { type Circuit, type CircuitState, solveCircuit } from './circuit.ts';

/** What a device has that is not in the guide; the rest of the state is each check's own. */
export type DeviceState = Partial<Pick<CircuitState, 'faults' | 'linkOhm'>>;

/** Returns what the circuit predicts for a check of a device in this state. */
export function predictCheck(guide: Guide, check: Check, device: DeviceState = {}): Prediction {
  return kindOf(check).predict(guide, check, solverFor(guide, device), device.faults ?? []);
}

/** Returns what the circuit predicts for every check of a guide, in the guide's order; a healthy device by default. */
export function predictChecks(guide: Guide, device: DeviceState = {}): Prediction[] {
  const solve = solverFor(guide, device);
  return guide.checks.map((check) => kindOf(check).predict(guide, check, solve, device.faults ?? []));
}

/** Checks that find the device in the same state share one solved circuit. */
function solverFor(guide: Guide, { faults = [], linkOhm }: DeviceState): SolveFor {
  const solved = new Map<string, Circuit>();
  return ({ opened = [], ...how }) => {
    const key = JSON.stringify([how.power, how.pressed, how.level, how.access, how.bridge, opened]);
    let circuit = solved.get(key);
    if (circuit === undefined) {
      const gone = opened.map((link) => ({ link, mode: 'open' as const }));
      circuit = solveCircuit(guide, {
        ...how,
        faults: [...faults, ...gone],
        ...(linkOhm === undefined ? {} : { linkOhm }),
      });
      solved.set(key, circuit);
    }
    return circuit;
  };
}
