import { z } from 'zod';
import {
  attemptFields,
  chained,
  contactSchema,
  limitsSchema,
  nonEmptyText,
  outcomeSchema,
  readingSchema,
  ruleSchema,
  wellFormedText,
  windowSchema,
} from './entry-parts.ts';

const finite = z.number();
const count = z.int().min(0);

/** One bridge check: the idle voltage, the closure with its raw codes, and what the device did. */
export const bridgeEntrySchema = z.strictObject({
  ...chained,
  kind: z.literal('bridge'),
  ...attemptFields,
  power: z.literal('on'),
  /** The voltage across the pads before the closure; null when nothing was touched. */
  idle: z.strictObject({ window: windowSchema, contact: contactSchema, reading: readingSchema }).nullable(),
  limits: limitsSchema,
  rule: ruleSchema,
  /** Asked length of the closure. */
  durationMs: finite.gt(0),
  /** Share of the idle voltage below which the closure counts as proven. */
  collapse: finite.gt(0).lt(1),
  /** Null when the bridge was not closed. */
  closed: z
    .strictObject({
      windows: z.array(windowSchema),
      closedUs: finite,
      openedUs: finite,
      openedBy: z.enum(['timeUp', 'request', 'heartbeat', 'overVoltage', 'unseen']),
      /** Of the stretch in which the voltage fell least; null when no reading was taken. */
      reading: readingSchema.nullable(),
    })
    .nullable(),
  proven: z.boolean(),
  /** Id of the guide's input that should respond, and what is asked. */
  input: nonEmptyText,
  question: wellFormedText,
  /** Null when nobody was asked: the closure was not made or not proven. */
  answer: z.enum(['yes', 'no', 'unsure']).nullable(),
  by: z.enum(['person', 'button', 'hands', 'light', 'option']).nullable(),
  respondedBefore: z.boolean(),
  /** Changes of light around the closure, by the probe's sensor: converter codes. */
  light: z.array(z.strictObject({ tUs: finite, code: count })),
  /** The light must change within this time after closing, to be an answer. */
  withinMs: finite.gt(0),
  /** From closing to the change of light. */
  delayUs: finite.nullable(),
  probeSerial: z.int(),
  calibration: nonEmptyText,
  outcome: outcomeSchema,
  why: wellFormedText,
});
