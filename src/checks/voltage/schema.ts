import { z } from 'zod';
import { id, limits, pads } from '../../guide/file/fields.ts';
import { commonFields, withDwellMs } from '../common-fields.ts';

/** The fields of a voltage check in a guide file. */
export const voltageSchema = z
  .strictObject({
    kind: z.literal('voltage'),
    ...commonFields,
    pads,
    limits: limits('volt'),
    pressed: z.array(id).default([]),
  })
  .transform(withDwellMs);
