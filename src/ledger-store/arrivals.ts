import { z } from 'zod';
import { sha256Hex } from '../record/entries/entry-parts.ts';

/** A state of a record that was taken, or put aside for the reason in `code`. */
export const arrivalSchema = z.strictObject({
  at: z.iso.datetime(),
  record: sha256Hex,
  entries: z.int().min(1),
  head: sha256Hex,
  /** Public key of the bench that sent it, in base64; null: it was added from a folder here. */
  from: z.string().nullable(),
  code: z.string().exactOptional(),
});
export type Arrival = z.infer<typeof arrivalSchema>;
