import { z } from 'zod';
import {
  attemptFields,
  bySchema,
  captureSchema,
  chained,
  levelSchema,
  limitsSchema,
  nonEmptyText,
  outcomeSchema,
  powerSchema,
  proofKindSchema,
  proofWhenSchema,
  quantitySchema,
  readingSchema,
  ruleSchema,
  wellFormedText,
  windowSchema,
} from './entry-parts.ts';

const finite = z.number();
const count = z.int().min(0);

/** A proof of the probe: shorted tips or the built-in check resistor. */
export const proofEntrySchema = z.strictObject({
  ...chained,
  kind: z.literal('proof'),
  when: proofWhenSchema,
  what: proofKindSchema,
  /** Null when nothing was touched. */
  capture: captureSchema.nullable(),
  /** Bounds in ohm that the reading is decided against, by `rule`. */
  expected: z.strictObject({ min: finite, max: finite }),
  rule: ruleSchema,
  reading: readingSchema.nullable(),
  outcome: outcomeSchema,
  why: wellFormedText,
});

/** One touch at a resistance or voltage check. */
export const captureEntrySchema = z.strictObject({
  ...chained,
  kind: z.literal('capture'),
  ...attemptFields,
  quantity: quantitySchema,
  limits: limitsSchema,
  rule: ruleSchema,
  level: levelSchema,
  power: powerSchema,
  by: z.enum(['settled', 'button']),
  /** Null when there was no contact to read. */
  capture: captureSchema.nullable(),
  reading: readingSchema.nullable(),
  outcome: outcomeSchema,
  /**
   * Probability that the true value lies inside the limits; null when the reading did not decide.
   */
  pInside: finite.min(0).max(1).nullable(),
  why: wellFormedText,
});

/** One run of key presses. */
export const pressesEntrySchema = z.strictObject({
  ...chained,
  kind: z.literal('presses'),
  ...attemptFields,
  /** Limits of the steady closed resistance of one press. */
  limits: limitsSchema,
  rule: ruleSchema,
  /** Presses asked for, and how many of them may be bad. */
  count: z.int().min(1),
  maxBad: count,
  /** Longest bounce of a good press in microseconds; null: bounce does not count. */
  maxBounceUs: finite.nullable(),
  probeSerial: z.int(),
  calibration: nonEmptyText,
  presses: z.array(
    z.strictObject({
      window: windowSchema.nullable(),
      heldUs: finite,
      bounceUs: finite,
      makes: count,
      missed: z.boolean(),
      reading: readingSchema.nullable(),
      outcome: outcomeSchema,
    }),
  ),
  outcome: outcomeSchema,
  why: wellFormedText,
});

/** What a person answered. */
export const observationEntrySchema = z.strictObject({
  ...chained,
  kind: z.literal('observation'),
  ...attemptFields,
  question: wellFormedText,
  passAnswer: z.enum(['yes', 'no']),
  answer: z.enum(['yes', 'no', 'unsure']),
  by: bySchema,
  /** `unsure` is borderline: neither a pass nor a fail. */
  outcome: outcomeSchema,
});
