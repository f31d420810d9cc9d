import { z } from 'zod';
import type { CheckKind } from '../guide/check-kind.ts';
import { id, limits, pads } from '../guide/file/fields.ts';
import type { VoltageCheck } from '../guide/types.ts';
import { isInside, isUnsteadyVolt, meterOhm, voltageProblems } from './circuit-reading.ts';
import { commonFields, withDwellMs } from './common-fields.ts';

/** Volts of tip A over tip B, with the probe's own resistance between them. */
export const voltageKind = {
  name: 'voltage',
  schema: z
    .strictObject({
      kind: z.literal('voltage'),
      ...commonFields,
      pads,
      limits: limits('volt'),
      pressed: z.array(id).default([]),
    })
    .transform(withDwellMs),
  predict(guide, check, solve, faults) {
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
  },
  problems: (_guide, check) => voltageProblems(check.limits),
} satisfies CheckKind<VoltageCheck>;
