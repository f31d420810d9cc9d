import type { CheckKind } from '../../guide/check-kind.ts';
import { openOhm } from '../../guide/circuit/faults.ts';
import { relativeSpread } from '../../guide/circuit/relative-spread.ts';
import type { PressesCheck } from '../../guide/types.ts';
import { isInside, isUnsteadyOhm, probeEndOhm } from '../circuit-reading.ts';

/** What the circuit says that a presses check will show. */
export const predictPresses: CheckKind<PressesCheck>['predict'] = (guide, check, solve, faults) => {
  const how = { power: 'off' as const, pressed: [check.key], level: check.level, access: check.access };
  const closed = solve(how);
  const released = solve({ ...how, pressed: [] });
  const ohm = closed.resistanceOhm(...check.pads);
  const releasedOhm = released.resistanceOhm(...check.pads);
  return {
    check: check.id,
    kind: check.kind,
    predicted: { ohm, releasedOhm },
    // a key that does not let go gives no closures to count
    insideLimits: isInside(ohm, check.limits) && isClosure(ohm, releasedOhm),
    unsteady: isUnsteadyOhm(solve, how, check.pads, faults),
    spread: relativeSpread(guide, closed, check.pads),
  };
};

/**
 * Returns whether pressing changes what the tips see enough to be counted: to a tenth, or out of
 * the probe's range.
 */
function isClosure(closedOhm: number, releasedOhm: number): boolean {
  if (closedOhm >= openOhm) return false;
  return releasedOhm >= Math.min(probeEndOhm, 10 * closedOhm);
}
