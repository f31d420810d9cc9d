import type { CheckKind } from '../../guide/check-kind.ts';
import { relativeSpread } from '../../guide/circuit/relative-spread.ts';
import type { DryNormalCheck } from '../../guide/types.ts';
import { isInside, isUnsteadyOhm } from '../circuit-reading.ts';

/** What the circuit says that a dry-normal check will show. */
export const predictDryNormal: CheckKind<DryNormalCheck>['predict'] = (guide, check, solve, faults) => {
  const how = { power: 'off', pressed: check.pressed, access: check.access } as const;
  const normal = solve({ ...how, level: 'normal' });
  const ohm = normal.resistanceOhm(...check.pads);
  const dryOhm = solve({ ...how, level: 'dry' }).resistanceOhm(...check.pads);
  return {
    check: check.id,
    kind: check.kind,
    predicted: { ohm, dryOhm },
    insideLimits: isInside(ohm, check.limits) && dryOhm <= check.factor * ohm,
    unsteady: isUnsteadyOhm(solve, { ...how, level: 'normal' }, check.pads, faults),
    spread: relativeSpread(guide, normal, check.pads),
  };
};
