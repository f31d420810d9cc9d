import type { CheckKind } from '../../guide/check-kind.ts';
import type { VoltageCheck } from '../../guide/types.ts';
import { isInside, isUnsteadyVolt, meterOhm } from '../circuit-reading.ts';

/** What the circuit says that a voltage check will show. */
export const predictVoltage: CheckKind<VoltageCheck>['predict'] = (guide, check, solve, faults) => {
  const { power, pressed, access, pads } = check;
  const meter = { padA: pads[0], padB: pads[1], ohm: meterOhm };
  const how = { power, pressed, level: 'normal', access, bridge: meter } as const;
  const volt = solve(how).thevenin(...check.pads).openVolt;
  return {
    check: check.id,
    kind: check.kind,
    predicted: { volt },
    insideLimits: isInside(volt, check.limits),
    unsteady: isUnsteadyVolt(guide, solve, how, check.pads, faults),
    spread: 0,
  };
};
