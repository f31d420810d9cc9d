import { z } from 'zod';
import { id, minutes, quantity, text } from '../guide/file/fields.ts';

/** The fields that every kind has, as they stand in a file. */
export const commonFields = {
  id,
  title: text,
  power: z.enum(['off', 'on'], { error: 'power.form' }).default('off'),
  access: id.optional(),
  minutes: minutes.default(1),
  prompt: text,
  dwell: quantity('second', 0.001).optional(),
};

/** Returns a check with its `dwell` in milliseconds, under the name that says so. */
export function withDwellMs<T extends { dwell?: number | undefined }>({ dwell, ...rest }: T) {
  return dwell === undefined ? rest : { ...rest, dwellMs: dwell * 1e3 };
}
