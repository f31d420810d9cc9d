import { z } from 'zod';
import { canonicalJson } from '../chain/canonical.ts';
import { sha256 } from '../chain/sha256.ts';
import { sha256Hex, wellFormedText } from './entry-parts.ts';

/**
 * What a customer may be asked for; each may be left out, and each can be taken away from a record
 * on its own.
 */
const customerFields = ['contact', 'name'] as const;
export type CustomerField = (typeof customerFields)[number];
export type Customer = Partial<Record<CustomerField, string>>;

/** SHA-256 of the salted words, by field: what stands in the chain. */
export const commitmentsSchema = z.strictObject({ contact: sha256Hex.optional(), name: sha256Hex.optional() });
export type Commitments = z.infer<typeof commitmentsSchema>;

const disclosedSchema = z.strictObject({ salt: z.string().regex(/^[0-9a-f]{32}$/), text: wellFormedText });

/**
 * Words and salts, by field: they stand beside the body of their line, where no hash of the chain
 * covers them.
 */
export const personalDataSchema = z.strictObject({
  contact: disclosedSchema.optional(),
  name: disclosedSchema.optional(),
});
export type PersonalData = z.infer<typeof personalDataSchema>;

/**
 * Returns the commitment to a text: SHA-256 over the canonical JSON of field, salt and text. The
 * salt of 128 bits keeps anyone from finding a name by trying names.
 */
function commitmentTo(field: CustomerField, { salt, text }: { salt: string; text: string }): string {
  return sha256(canonicalJson({ field, salt, text }));
}

/**
 * Returns what to keep apart for a customer, and the commitments to it. `random`: returns that many
 * random bytes.
 */
export function commitTo(
  customer: Customer,
  random: (bytes: number) => Uint8Array,
): { apart: PersonalData; commitments: Commitments } {
  const apart: PersonalData = {};
  const commitments: Commitments = {};
  for (const field of customerFields) {
    const text = customer[field];
    if (text === undefined || text === '') continue;
    apart[field] = { salt: Buffer.from(random(16)).toString('hex'), text };
    commitments[field] = commitmentTo(field, apart[field]);
  }
  return { apart, commitments };
}

/**
 * Returns the first field whose words are not those that were committed to; null when all that is
 * there belongs there.
 */
export function falseField(apart: PersonalData, commitments: Commitments): CustomerField | null {
  for (const field of customerFields) {
    const disclosed = apart[field];
    if (disclosed !== undefined && commitments[field] !== commitmentTo(field, disclosed)) return field;
  }
  return null;
}

/** Returns the words of a customer, as far as they are still there. */
export function customerOf(apart: PersonalData): Customer {
  const customer: Customer = {};
  for (const field of customerFields) if (apart[field] !== undefined) customer[field] = apart[field].text;
  return customer;
}
