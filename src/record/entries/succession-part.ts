import { z } from 'zod';
import { sha256Hex } from './entry-parts.ts';

/** 32 bytes of an Ed25519 key (RFC 8032) in base64. */
export const publicKeySchema = z.string().regex(/^[A-Za-z0-9+/]{43}=$/, 'not a public key in base64');
/** 64 bytes in base64. */
export const signatureSchema = z.string().regex(/^[A-Za-z0-9+/]{86}==$/, 'not a signature in base64');

/**
 * One key of a bench hands over to the next. Both sign it: the old one, so that whoever trusts it
 * trusts the new one; the new one, so that nobody makes it answer for records of a stranger.
 */
export const successionSchema = z.strictObject({
  from: publicKeySchema,
  to: publicKeySchema,
  at: z.iso.datetime({ precision: 3 }),
  /** Where the records of the old key end; null when none was counted. */
  last: z
    .strictObject({ series: z.string().regex(/^[0-9a-f]{16}$/), number: z.int().min(1), sha256: sha256Hex.nullable() })
    .nullable(),
  byFrom: signatureSchema,
  byTo: signatureSchema,
});
export type Succession = z.infer<typeof successionSchema>;
