import { z } from 'zod';
import { id, limits, pads } from '../../guide/file/fields.ts';
import { commonFields, withDwellMs } from '../common-fields.ts';

/** The fields of a resistance check in a guide file. */
export const resistanceSchema = z
  .strictObject({
    kind: z.literal('resistance'),
    ...commonFields,
    pads,
    limits: limits('ohm'),
    level: z.enum(['normal', 'dry'], { error: 'level.form' }).default('normal'),
    pressed: z.array(id).default([]),
  })
  .transform(withDwellMs);
