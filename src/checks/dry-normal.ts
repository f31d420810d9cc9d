import { z } from 'zod';
import type { CheckKind } from '../guide/check-kind.ts';
import { id, limits, pads } from '../guide/file/fields.ts';
import type { DryNormalCheck } from '../guide/types.ts';
import { isInside, isUnsteadyOhm, relativeSpread, resistanceProblems } from './circuit-reading.ts';
import { commonFields, withDwellMs } from './common-fields.ts';

/** Ohms of one touch, first at the dry level and then at the normal one: a film that the normal level breaks shows in the first only. */
export const dryNormalKind = {
  name: 'dry-normal',
  schema: z
    .strictObject({
      kind: z.literal('dry-normal'),
      ...commonFields,
      power: z.literal('off', { error: 'power.ohms' }).default('off'),
      pads,
      pressed: z.array(id).default([]),
      limits: limits('ohm'),
      factor: z
        .number({ error: 'factor.form' })
        .min(1.1, { error: 'factor.form' })
        .max(1000, { error: 'factor.form' })
        .default(2),
    })
    .transform(withDwellMs),
  predict(guide, check, solve, faults) {
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
  },
  problems: (_guide, check) => resistanceProblems(check),
} satisfies CheckKind<DryNormalCheck>;
