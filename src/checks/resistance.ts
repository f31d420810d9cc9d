import { z } from 'zod';
import type { CheckKind } from '../guide/check-kind.ts';
import { id, limits, pads } from '../guide/file/fields.ts';
import type { ResistanceCheck } from '../guide/types.ts';
import { isInside, isUnsteadyOhm, relativeSpread, resistanceProblems } from './circuit-reading.ts';
import { commonFields, withDwellMs } from './common-fields.ts';

/** Ohms between two pads of the switched-off device. */
export const resistanceKind = {
  name: 'resistance',
  schema: z
    .strictObject({
      kind: z.literal('resistance'),
      ...commonFields,
      pads,
      limits: limits('ohm'),
      level: z.enum(['normal', 'dry'], { error: 'level.form' }).default('normal'),
      pressed: z.array(id).default([]),
    })
    .transform(withDwellMs),
  predict(guide, check, solve, faults) {
    const how = { power: 'off', pressed: check.pressed, level: check.level, access: check.access } as const;
    const circuit = solve(how);
    const ohm = circuit.resistanceOhm(...check.pads);
    return {
      check: check.id,
      kind: check.kind,
      predicted: { ohm },
      insideLimits: isInside(ohm, check.limits),
      unsteady: isUnsteadyOhm(solve, how, check.pads, faults),
      spread: relativeSpread(guide, circuit, check.pads),
    };
  },
  problems: (_guide, check) => resistanceProblems(check),
} satisfies CheckKind<ResistanceCheck>;
