import { z } from 'zod';
import { pads, seenFault, textField } from '../../guide/file/fields.ts';
import { commonFields, withDwellMs } from '../common-fields.ts';

/** The fields of a look check in a guide file. */
export const lookSchema = z
  .strictObject({
    kind: z.literal('look'),
    ...commonFields,
    pads: pads.optional(),
    question: textField,
    passAnswer: z.enum(['yes', 'no'], { error: 'answer.form' }),
    sees: z.array(seenFault).default([]),
  })
  .transform(withDwellMs);
