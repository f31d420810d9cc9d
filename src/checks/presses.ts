import { z } from 'zod';
import type { CheckKind } from '../guide/check-kind.ts';
import { openOhm } from '../guide/circuit/faults.ts';
import { id, limits, pads, quantity } from '../guide/file/fields.ts';
import type { PressesCheck } from '../guide/types.ts';
import { isInside, isUnsteadyOhm, probeEndOhm, relativeSpread, resistanceProblems } from './circuit-reading.ts';
import { commonFields, withDwellMs } from './common-fields.ts';

/** A key pressed again and again while the tips stay on: each closure's ohms and bounce, and the presses that missed. */
export const pressesKind = {
  name: 'presses',
  schema: z
    .strictObject({
      kind: z.literal('presses'),
      ...commonFields,
      pads,
      key: id,
      count: z.int({ error: 'count.form' }).min(1, { error: 'count.form' }).max(1000, { error: 'count.form' }),
      maxBad: z.int({ error: 'count.form' }).min(0, { error: 'count.form' }).default(0),
      limits: limits('ohm'),
      level: z.enum(['normal', 'dry'], { error: 'level.form' }).default('normal'),
      maxBounce: quantity('second', 1e-5).optional(),
    })
    .transform(withDwellMs)
    .transform(({ maxBounce, ...rest }) =>
      maxBounce === undefined ? rest : { ...rest, maxBounceMs: maxBounce * 1e3 },
    ),
  predict(guide, check, solve, faults) {
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
  },
  problems(_guide, check) {
    const problems = resistanceProblems(check);
    if (check.maxBad >= check.count) {
      const args = { maxBad: String(check.maxBad), count: String(check.count) };
      problems.push({ severity: 'error', code: 'presses.all-may-be-bad', at: ['maxBad'], args });
    }
    return problems;
  },
} satisfies CheckKind<PressesCheck>;

/** Returns whether pressing changes what the tips see enough to be counted: to a tenth, or out of the probe's range. */
function isClosure(closedOhm: number, releasedOhm: number): boolean {
  if (closedOhm >= openOhm) return false;
  return releasedOhm >= Math.min(probeEndOhm, 10 * closedOhm);
}
