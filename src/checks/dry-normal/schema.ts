import { z } from 'zod';
import { id, limits, pads } from '../../guide/file/fields.ts';
import { commonFields, withDwellMs } from '../common-fields.ts';

/** The fields of a dry-normal check in a guide file. */
export const dryNormalSchema = z
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
  .transform(withDwellMs);
