import type { CheckKind } from '../../guide/check-kind.ts';
import type { BridgeCheck } from '../../guide/types.ts';
import { isInside, isUnsteadyVolt, meterOhm } from '../circuit-reading.ts';

/** The probe's closure between two pads as its parts are marked, in ohm. */
export const closureOhm = 1;

/**
 * A key's closure carries less than this; more is a supply, which is never bridged. Ampere; our
 * choice.
 */
export const closureMostAmpere = 0.05;

/** What the circuit says that a bridge check will show. */
export const predictBridge: CheckKind<BridgeCheck>['predict'] = (guide, check, solve, faults) => {
  const [padA, padB] = check.pads;
  const bare = { power: check.power, pressed: check.pressed, level: 'normal', access: check.access } as const;
  const how = { ...bare, bridge: { padA, padB, ohm: meterOhm } };
  const open = solve(how);
  const closed = solve({ ...bare, bridge: { padA, padB, ohm: closureOhm } });
  const idleVolt = open.thevenin(padA, padB).openVolt;
  const closedVolt = closed.thevenin(padA, padB).openVolt;
  const proven = isInside(idleVolt, check.idle) && Math.abs(closedVolt) < check.collapse * Math.abs(idleVolt);
  const responds = closed.responds(check.input) && !open.responds(check.input);
  return {
    check: check.id,
    kind: check.kind,
    predicted: { idleVolt, closedVolt, proven, responds },
    insideLimits: proven && responds,
    unsteady: isUnsteadyVolt(guide, solve, how, check.pads, faults),
    spread: 0,
  };
};
