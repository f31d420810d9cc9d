import { z } from 'zod';
import { id, limits, pads, percentage, quantity } from '../../guide/file/fields.ts';
import { commonFields, withDwellMs } from '../common-fields.ts';

/** The fields of a steady check in a guide file. */
export const steadySchema = z
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
    maxWander: percentage(10, 0.01).default(0.2),
  })
  .transform(withDwellMs)
  .transform(({ hold, ...rest }) => ({ ...rest, holdMs: hold * 1e3 }));
