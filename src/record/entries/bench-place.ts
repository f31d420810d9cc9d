import { z } from 'zod';
import { sha256Hex } from './entry-parts.ts';
import { publicKeySchema, successionSchema } from './succession-part.ts';

const number = z.int().min(1);

/** The place of a record among all that one bench made, since format 2. */
export const benchPlaceSchema = z.strictObject({
  /** The bench's public key, 32 bytes in base64: the record is to be signed by it. */
  key: publicKeySchema,
  /** Drawn when the series began. */
  series: z.string().regex(/^[0-9a-f]{16}$/),
  number,
  /**
   * The latest record before that the bench knows the end of: its number and the hash of its last
   * entry then; null: none.
   */
  before: z.strictObject({ number, sha256: sha256Hex }).nullable(),
  /**
   * Why a series begins with this record: there was no counter (a new bench, or a lost one), or the
   * key was put back from a copy, or the key before has handed over.
   */
  begins: z.enum(['no-counter', 'key-put-back', 'key-succeeded']).nullable(),
  /** By what the key before has handed over, where the series begins with that. */
  succession: successionSchema.exactOptional(),
});
export type BenchPlace = z.infer<typeof benchPlaceSchema>;
