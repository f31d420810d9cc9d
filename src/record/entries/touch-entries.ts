import { z } from 'zod';
import {
  attemptFields,
  captureSchema,
  chained,
  contactSchema,
  levelSchema,
  limitsSchema,
  outcomeSchema,
  powerSchema,
  readingSchema,
  ruleSchema,
  wellFormedText,
} from './entry-parts.ts';

const finite = z.number();
const count = z.int().min(0);
const capturedSchema = z.strictObject({ capture: captureSchema, reading: readingSchema });

/** One touch at the dry level, then at the normal one without lifting. */
export const levelsEntrySchema = z.strictObject({
  ...chained,
  kind: z.literal('levels'),
  ...attemptFields,
  /** Of the reading at the normal level. */
  limits: limitsSchema,
  rule: ruleSchema,
  /** A dry reading above this many times the normal one is a film. */
  factor: finite.gt(1),
  power: powerSchema,
  by: z.enum(['settled', 'button']),
  /** Null where the touch did not come so far. */
  dry: capturedSchema.nullable(),
  normal: capturedSchema.nullable(),
  outcome: outcomeSchema,
  why: wellFormedText,
});

/** A touch that was held while the device was flexed. */
export const steadyEntrySchema = z.strictObject({
  ...chained,
  kind: z.literal('steady'),
  ...attemptFields,
  limits: limitsSchema,
  rule: ruleSchema,
  level: levelSchema,
  power: powerSchema,
  /** The settled touch before the hold; null when there was none. */
  capture: captureSchema.nullable(),
  reading: readingSchema.nullable(),
  /**
   * Asked length of the hold, drop-outs that still pass, and greatest less least reading relative
   * to the median.
   */
  holdMs: finite.gt(0),
  maxDropOuts: count,
  maxWander: finite.gt(0),
  /** Null when nothing was held. */
  hold: z
    .strictObject({
      fromUs: finite,
      heldUs: finite.min(0),
      /** What the closed path read, a stretch of 50 ms or of one range at a time. */
      buckets: z.array(
        z.strictObject({
          tUs: finite,
          range: count,
          n: z.int().min(1),
          min: count.max(0xffff),
          max: count.max(0xffff),
          mean: finite.min(0).max(0xffff),
        }),
      ),
      /** Openings of the path between seated tips. */
      dropOuts: contactSchema.shape.dropOuts,
    })
    .nullable(),
  /** What the hold's codes come to; null when nothing was held. */
  span: z.strictObject({ minOhm: finite, medianOhm: finite, maxOhm: finite, wander: finite.min(0) }).nullable(),
  outcome: outcomeSchema,
  why: wellFormedText,
});
