import { type CheckKinds, kindOf, type Prediction, type SolveFor } from '../check-kind.ts';
import type { Guide } from '../types.ts';
import { type Circuit, type CircuitState, solveCircuit } from './circuit.ts';

/** What a device has that is not in the guide; the rest of the state is each check's own. */
export type DeviceState = Partial<Pick<CircuitState, 'faults' | 'linkOhm'>>;

/**
 * Returns what the circuit predicts for every check of a guide, in the guide's order; a healthy
 * device by default.
 */
export function predictWith(guide: Guide, kinds: CheckKinds, device: DeviceState = {}): Prediction[] {
  const solve = solverFor(guide, device);
  return guide.checks.map((check) => kindOf(kinds, check).predict(guide, check, solve, device.faults ?? []));
}

/**
 * Returns the solver of a device in this state: checks that find it alike share one solved circuit.
 */
export function solverFor(guide: Guide, { faults = [], linkOhm }: DeviceState = {}): SolveFor {
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
