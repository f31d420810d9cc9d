import { z } from 'zod';
import { benchPlaceSchema } from './bench-place.ts';
import { bySchema, chained, nonEmptyText, recordFormat, wellFormedText } from './entry-parts.ts';

const probability = z.number().min(0).max(1);
const amount = z.number();
const entryNumber = z.int().min(1);

const plannedSchema = z.strictObject({
  repair: nonEmptyText,
  name: wellFormedText,
  /** Probability that it mends the device. */
  p: probability,
  price: amount,
  minutes: amount,
});

/**
 * What isolation came to, as it was told to the person; the belief itself is derived again from the
 * attempts.
 */
export const concludedEntrySchema = z.strictObject({
  ...chained,
  kind: z.literal('concluded'),
  /**
   * `fault`: one decision is probable enough. `group`: several that no check left tells apart.
   * `none`: nothing found. `open`: left early.
   */
  conclusion: z.enum(['fault', 'group', 'none', 'unknown', 'open']),
  decisions: z.array(z.strictObject({ id: nonEmptyText, name: wellFormedText, p: probability })),
  reasons: z.array(wellFormedText),
  /** Why the readings are not explained well; null when they are. */
  doubt: wellFormedText.nullable(),
  plan: z.strictObject({
    steps: z.array(plannedSchema),
    expectedPrice: amount,
    expectedMinutes: amount,
    left: probability,
    usual: z
      .strictObject({ repair: nonEmptyText, name: wellFormedText, expectedPrice: amount, expectedMinutes: amount })
      .nullable(),
    currency: nonEmptyText.nullable(),
  }),
  /**
   * Of a fault: a second one that asks for something else is as good as ruled out; false: at least
   * this. Absent: the rules don't ask.
   */
  isWhole: z.boolean().optional(),
  /** Checks of the guide that were not done or came to nothing. */
  notTested: z.array(nonEmptyText),
  /** Of a group: what would tell them apart. */
  beyond: wellFormedText.nullable(),
  /** Numbers of the entries that it rests on. */
  evidence: z.array(entryNumber),
});

/** A repair was done, or a unit was swapped: what was measured before holds no more. */
export const repairEntrySchema = z.strictObject({
  ...chained,
  kind: z.literal('repair'),
  what: z.enum(['repair', 'swap']),
  /** Id of the guide's repair; null for a swap. */
  repair: nonEmptyText.nullable(),
  /** Id of the guide's unit that was swapped; null for a repair. */
  unit: nonEmptyText.nullable(),
  text: wellFormedText,
  by: bySchema,
});

/**
 * A closed job is added to: what stands behind it, to the next closing entry and its signature, is
 * a span of its own.
 */
export const addendumEntrySchema = z.strictObject({
  ...chained,
  kind: z.literal('addendum'),
  /** Format and rules of what follows, as in `opened`. */
  format: z.int().min(2).max(recordFormat),
  rules: z.int().min(1),
  tool: nonEmptyText,
  /** As in `opened`: an addendum has a number of its own, so one that was cut off leaves a hole. */
  bench: benchPlaceSchema.exactOptional(),
  emulated: z.literal(true).exactOptional(),
  /**
   * `continued`: the device stayed on the bench, what was measured still holds. `returned`: it was
   * away, nothing that was measured before is known to hold.
   */
  what: z.enum(['continued', 'returned']),
  why: nonEmptyText,
  technician: wellFormedText.exactOptional(),
});
