import { z } from 'zod';
import { type EntryKind, entrySchema } from '../../record/entries/entries.ts';
import { identitySchema, outcomeSchema, powerSchema, quantitySchema } from '../../record/entries/entry-parts.ts';

// What several commands print with --json, each in one place.

export const aText = z.string();
export const someTexts = z.array(aText);
export const count = z.int().min(0);
export const finite = z.number();
/** JSON has no infinity: a number beyond all bounds is null. */
export const unbounded = z.number().nullable();
export const aShare = z.number().min(0).max(1);
export const time = z.iso.datetime({ precision: 3 });
export const digest = z.string().regex(/^[0-9a-f]{64}$/);

export { identitySchema, outcomeSchema, powerSchema, quantitySchema };

/** An older name of a key, for scripts that hold it. */
export function olderNameOf<Schema extends z.ZodType>(name: string, schema: Schema): Schema {
  return schema.meta({ deprecated: true, description: `older name of '${name}'` });
}

/** What stands in a record is named as the record's format has it. */
export function ofRecord<Schema extends z.ZodType>(schema: Schema): Schema {
  return schema.meta({ ...schema.meta(), ofRecord: true });
}

/** An entry of a record, of one kind. */
export function entryOf(kind: EntryKind): z.ZodType {
  const found = entrySchema.options.find((option) => option.shape.kind.value === kind);
  if (found === undefined) throw new Error(`no entry is of kind ${kind}`);
  return ofRecord(found);
}

export const reading = z.strictObject({
  quantity: quantitySchema,
  value: finite,
  u: finite,
  dof: finite,
  state: z.enum(['in-range', 'above-range', 'below-range', 'unreadable']),
  rangeEnd: finite,
  parts: z.array(z.strictObject({ name: aText, u: finite, dof: finite.optional() })),
});

export const problem = z.strictObject({
  severity: z.enum(['error', 'warning']),
  code: aText,
  path: aText,
  line: z.int().nullable(),
  column: z.int().nullable(),
  what: aText,
  help: aText,
});
