import { z } from 'zod';
import type { PictureType } from '../../files/picture-kind.ts';
import { nonEmptyText, sha256Hex } from './entry-parts.ts';

const kept = {
  sha256: sha256Hex,
  /** Of the file, in bytes. */
  bytes: z.int().min(1),
  type: z.enum(['image/png', 'image/jpeg', 'image/webp', 'image/svg+xml']) satisfies z.ZodType<
    PictureType,
    PictureType
  >,
  /** As it is seen, in pixels; of a drawing in its own units. */
  width: z.number().gt(0),
  height: z.number().gt(0),
};

/** A picture that is kept beside the records, by its content. */
export const keptPictureSchema = z.strictObject(kept);

/** A picture of the guide: what it is, or why it was not there when the job was opened (a code). */
export const guidePictureSchema = z.union([
  z.strictObject({ id: nonEmptyText, ...kept }),
  z.strictObject({ id: nonEmptyText, lacking: nonEmptyText }),
]);
export type KeptPicture = z.infer<typeof keptPictureSchema>;
