import { z } from 'zod';
import type { CheckKind } from '../guide/check-kind.ts';
import { id, limits, pads, percent, quantity } from '../guide/file/fields.ts';
import type { SteadyCheck } from '../guide/types.ts';
import { isInside, isUnsteadyOhm, relativeSpread, resistanceProblems } from './circuit-reading.ts';
import { commonFields, withDwellMs } from './common-fields.ts';

/** Ohms that must stay while the technician flexes and taps: what comes and goes drops out or wanders. */
export const steadyKind = {
  name: 'steady',
  schema: z
    .strictObject({
      kind: z.literal('steady'),
      ...commonFields,
      power: z.literal('off', { error: 'power.ohms' }).default('off'),
      pads,
      pressed: z.array(id).default([]),
      limits: limits('ohm'),
      level: z.enum(['normal', 'dry'], { error: 'level.form' }).default('normal'),
      hold: quantity('second', 0.5, 30).default(4),
      maxDropOuts: z
        .int({ error: 'count.form' })
        .min(0, { error: 'count.form' })
        .max(100, { error: 'count.form' })
        .default(0),
      maxWander: percent(10, 0.01).default(0.2),
    })
    .transform(withDwellMs)
    .transform(({ hold, ...rest }) => ({ ...rest, holdMs: hold * 1e3 })),
  predict(guide, check, solve, faults) {
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
  },
  problems: (_guide, check) => resistanceProblems(check),
} satisfies CheckKind<SteadyCheck>;
