import { z } from 'zod';
import { id, limits, pads, quantity } from '../../guide/file/fields.ts';
import { commonFields, withDwellMs } from '../common-fields.ts';

/** The fields of a presses check in a guide file. */
export const pressesSchema = z
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
  .transform(({ maxBounce, ...rest }) => (maxBounce === undefined ? rest : { ...rest, maxBounceMs: maxBounce * 1e3 }));
