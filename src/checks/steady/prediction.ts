import type { CheckKind } from '../../guide/check-kind.ts';
import { relativeSpread } from '../../guide/circuit/relative-spread.ts';
import type { SteadyCheck } from '../../guide/types.ts';
import { isInside, isUnsteadyOhm } from '../circuit-reading.ts';

/** What the circuit says that a steady check will show. */
export const predictSteady: CheckKind<SteadyCheck>['predict'] = (guide, check, solve, faults) => {
  const how = { power: 'off', pressed: check.pressed, level: check.level, access: check.access } as const;
  const circuit = solve(how);
  const ohm = circuit.resistanceOhm(...check.pads);
  const unsteady = isUnsteadyOhm(solve, how, check.pads, faults);
  return {
    check: check.id,
    kind: check.kind,
    predicted: { ohm },
    insideLimits: isInside(ohm, check.limits) && !unsteady,
    unsteady,
    spread: relativeSpread(guide, circuit, check.pads),
  };
};
