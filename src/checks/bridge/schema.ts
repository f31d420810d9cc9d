import { z } from 'zod';
import { id, limits, pads, percentage, quantity, textField } from '../../guide/file/fields.ts';
import { commonFields, withDwellMs } from '../common-fields.ts';

/** The fields of a bridge check in a guide file. */
export const bridgeSchema = z
  .strictObject({
    kind: z.literal('bridge'),
    ...commonFields,
    power: z.literal('on', { error: 'power.bridge' }).default('on'),
    pads,
    pressed: z.array(id).default([]),
    idle: limits('volt'),
    closure: quantity('second', 0.02, 2).default(0.3),
    collapse: percentage(0.9, 0.01).default(0.3),
    input: id,
    question: textField,
    answer: z.enum(['person', 'light'], { error: undefined }).default('person'),
    within: quantity('second', 0.05, 10).optional(),
  })
  .transform(withDwellMs)
  .transform(({ closure, within, ...rest }) => ({
    ...rest,
    durationMs: closure * 1e3,
    withinMs: (within ?? 1) * 1e3,
  }));
