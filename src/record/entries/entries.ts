import { z } from 'zod';
import { benchPlaceSchema } from './bench-place.ts';
import { bridgeEntrySchema } from './bridge-entry.ts';
import { calibrationOriginSchema } from './calibration-origin.ts';
import {
  bySchema,
  calibrationSchema,
  type captureSchema,
  chained,
  countsSchema,
  identitySchema,
  nonEmptyText,
  type phaseSchema,
  powerSchema,
  type proofKindSchema,
  type proofWhenSchema,
  type readingSchema,
  recordFormat,
  sha256Hex,
  wellFormedText,
} from './entry-parts.ts';
import {
  captureEntrySchema,
  observationEntrySchema,
  pressesEntrySchema,
  proofEntrySchema,
} from './evidence-entries.ts';
import { addendumEntrySchema, concludedEntrySchema, repairEntrySchema } from './flow-entries.ts';
import { commitmentsSchema } from './personal-data.ts';
import { guidePictureSchema, keptPictureSchema } from './picture-part.ts';
import { publicKeySchema, signatureSchema, successionSchema } from './succession-part.ts';
import { levelsEntrySchema, steadyEntrySchema } from './touch-entries.ts';

export { recordFormat };

const finite = z.number();
const count = z.int().min(0);
const rulesNumber = z.int().min(1);

const openedSchema = z.strictObject({
  ...chained,
  kind: z.literal('opened'),
  format: z.int().min(1).max(recordFormat),
  /** Also the name of the file, so no separators in it. */
  job: z.string().regex(/^[A-Za-z0-9][A-Za-z0-9._-]{0,99}$/, 'a job id has letters, digits, dots and dashes only'),
  tool: nonEmptyText,
  /**
   * Its place among the bench's records; absent: it has none (format 1, an emulated job, one that
   * is not signed).
   */
  bench: benchPlaceSchema.exactOptional(),
  /** The probe is an emulated one: nothing here is of a real device. */
  emulated: z.literal(true).exactOptional(),
  /** Number of the rules by which what follows was made; absent: 1. See `rules.ts`. */
  rules: rulesNumber.exactOptional(),
  guide: z.strictObject({
    id: nonEmptyText,
    title: wellFormedText,
    sha256: sha256Hex,
    /** The whole guide, so that the record stands alone; `sha256` is over its UTF-8 bytes. */
    text: wellFormedText,
    /** The guide's checks in its order, so that the fold needs no guide. */
    checks: z.array(z.strictObject({ id: nonEmptyText, title: wellFormedText, kind: nonEmptyText })),
  }),
  /** The pictures of the guide, in its order; absent: it has none (or no version knew them yet). */
  pictures: z.array(guidePictureSchema).min(1).exactOptional(),
  device: z.strictObject({
    maker: wellFormedText,
    name: wellFormedText,
    revision: wellFormedText,
    serial: wellFormedText.optional(),
  }),
  ticket: wellFormedText.optional(),
  symptom: wellFormedText.optional(),
  technician: wellFormedText.optional(),
  /** Whether the guide holds for this revision; if not, why it was used all the same. */
  revision: z.strictObject({
    holds: z.boolean(),
    reason: wellFormedText.optional(),
    override: wellFormedText.optional(),
  }),
});

const cautionSchema = z.strictObject({
  ...chained,
  kind: z.literal('caution'),
  id: nonEmptyText,
  text: wellFormedText,
  by: bySchema,
});

const probeSchema = z.strictObject({
  ...chained,
  kind: z.literal('probe'),
  identity: identitySchema,
  path: wellFormedText,
  calibration: calibrationSchema,
  calibrationState: wellFormedText,
  /** Absent for the nominal one, and in format 1. */
  origin: calibrationOriginSchema.exactOptional(),
});

const skippedSchema = z.strictObject({
  ...chained,
  kind: z.literal('skipped'),
  check: nonEmptyText,
  reason: wellFormedText,
  by: bySchema,
});

/** The latest attempt of a check is not relied on any more: the check is to be done again. */
const repeatSchema = z.strictObject({ ...chained, kind: z.literal('repeat'), check: nonEmptyText, by: bySchema });

const liveSchema = z.strictObject({
  ...chained,
  kind: z.literal('live'),
  tUs: finite,
  volt: finite.nullable(),
  check: nonEmptyText.nullable(),
  where: z.enum(['before', 'during']),
});

const gapSchema = z.strictObject({
  ...chained,
  kind: z.literal('gap'),
  cause: nonEmptyText,
  missing: count.nullable(),
  fromUs: finite.nullable(),
  toUs: finite.nullable(),
  text: wellFormedText,
});

const linkSchema = z.strictObject({
  ...chained,
  kind: z.literal('link'),
  counters: z.record(nonEmptyText, z.union([finite, z.record(nonEmptyText, finite)])),
});

const noteSchema = z.strictObject({ ...chained, kind: z.literal('note'), text: wellFormedText });
/** A photo that was taken at a check, kept by its content. */
const photoSchema = z.strictObject({
  ...chained,
  kind: z.literal('photo'),
  check: nonEmptyText,
  picture: keptPictureSchema,
  /** What is seen on it, in words of the person. */
  shows: wellFormedText,
  by: bySchema,
});
const resumedSchema = z.strictObject({
  ...chained,
  kind: z.literal('resumed'),
  tool: nonEmptyText,
  rules: rulesNumber.exactOptional(),
});
const powerChangeSchema = z.strictObject({ ...chained, kind: z.literal('power'), to: powerSchema });

const recoveredSchema = z.strictObject({
  ...chained,
  kind: z.literal('recovered'),
  /**
   * Name of the file beside the record that holds what was set aside; null when only a line's end
   * was missing.
   */
  file: nonEmptyText.nullable(),
  bytes: count,
  sha256: sha256Hex.nullable(),
  why: wellFormedText,
});

const closedSchema = z.strictObject({
  ...chained,
  kind: z.literal('closed'),
  result: z.enum(['passed', 'repaired', 'failed', 'no-fault-found', 'inconclusive', 'abandoned']),
  proofs: z.enum(['held', 'failed', 'missing']),
  counts: countsSchema,
  why: wellFormedText,
});

/**
 * The bench's signature (Ed25519, RFC 8032) over the hash of the closing entry before it; see
 * `signedMessage`.
 */
const signedSchema = z.strictObject({
  ...chained,
  kind: z.literal('signed'),
  publicKey: publicKeySchema,
  signature: signatureSchema,
  /** How earlier keys of the bench led to this one, oldest first; absent: it is the first. */
  succession: z.array(successionSchema).min(1).exactOptional(),
});

/**
 * Who the device belongs to, as commitments: the words stand apart from the hashed body, and may be
 * taken away.
 */
const customerSchema = z.strictObject({ ...chained, kind: z.literal('customer'), commitments: commitmentsSchema });

/**
 * Every kind of entry that a record may hold. Strict: a field that is not known here is an error.
 */
export const entrySchema = z.discriminatedUnion('kind', [
  openedSchema,
  cautionSchema,
  probeSchema,
  proofEntrySchema,
  captureEntrySchema,
  pressesEntrySchema,
  observationEntrySchema,
  bridgeEntrySchema,
  levelsEntrySchema,
  steadyEntrySchema,
  skippedSchema,
  repeatSchema,
  liveSchema,
  gapSchema,
  linkSchema,
  noteSchema,
  photoSchema,
  resumedSchema,
  powerChangeSchema,
  concludedEntrySchema,
  repairEntrySchema,
  recoveredSchema,
  closedSchema,
  signedSchema,
  customerSchema,
  addendumEntrySchema,
]);

/** One entry of a job record, as it stands in the file. */
export type Entry = z.infer<typeof entrySchema>;
export type EntryKind = Entry['kind'];
export type EntryOf<K extends EntryKind> = Extract<Entry, { kind: K }>;

type Unchained<E> = E extends unknown ? Omit<E, 'prev' | 'n' | 'at'> : never;
/** An entry before it is chained: what `append` takes. */
export type NewEntry = Unchained<Entry>;
/** What a job is opened with; its id is drawn when left out. */
export type Opening = Omit<EntryOf<'opened'>, 'prev' | 'n' | 'at' | 'kind' | 'format' | 'rules' | 'bench' | 'job'> & {
  job?: string;
};

export type StoredCapture = z.infer<typeof captureSchema>;
export type StoredReading = z.infer<typeof readingSchema>;
export type StoredPress = EntryOf<'presses'>['presses'][number];
export type JobResult = EntryOf<'closed'>['result'];
export type ProofStanding = EntryOf<'closed'>['proofs'];
export type JobCounts = z.infer<typeof countsSchema>;
export type ProofKind = z.infer<typeof proofKindSchema>;
export type ProofWhen = z.infer<typeof proofWhenSchema>;
export type Phase = z.infer<typeof phaseSchema>;
