import { z } from 'zod';

/**
 * Resistances are written with their unit or as a marking: a bare number in YAML arrives as a
 * number and is refused with its field's name.
 */
const text = z.string({ error: 'write it as a text with its unit' }).min(1, { error: 'it is empty' });
/** Leap years included (z.iso.date knows the calendar). */
const isDay = (date: string): boolean => z.iso.date().safeParse(date).success;
const days = z.int({ error: 'write whole days' }).positive({ error: 'write whole days, 1 or more' });

const resistor = z.strictObject({
  /** What stands on the resistor or its bag; unique in the set. */
  name: text,
  /** Marked value and tolerance: `470 ohm 0.1 %`, `4K7B`, `brown black black brown violet`. */
  is: text.optional(),
  /** Certified value, with its expanded uncertainty and the coverage factor behind that. */
  certified: text.optional(),
  expanded: text.optional(),
  coverage: z.number().min(1).max(4).default(2),
});

/** A resistor set as it stands in its file, version 1. */
export const setFileSchema = z.strictObject({
  set: z.literal(1, { error: 'this program reads sets of version 1: write set: 1' }),
  id: z.string().regex(/^[\x21-\x7e]{1,16}$/, { error: 'an identity is 1 to 16 plain characters without a space' }),
  title: text.optional(),
  date: z
    .string()
    .regex(/^\d{4}-\d{2}-\d{2}$/, { error: 'write a date as YYYY-MM-DD' })
    .refine(isDay, { error: 'there is no such day; write a date as YYYY-MM-DD' })
    .optional(),
  validDays: days.optional(),
  temperatureC: z.number({ error: 'write degrees Celsius as a number' }).min(-40).max(125).optional(),
  /** What all of them may be off by together, because one reference stood behind all. */
  common: text.optional(),
  resistors: z.array(resistor, { error: 'list the resistors' }).min(1, { error: 'list at least one resistor' }),
});

export type SetFile = z.infer<typeof setFileSchema>;
