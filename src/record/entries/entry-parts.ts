import { z } from 'zod';
import type { Calibration, CaptureWindow, ContactSummary, Limits, Outcome, Rule } from '../../measure/types.ts';
import type { ProbeIdentity } from '../../protocol/messages.ts';

/** Version of the record's format, written into each `opened` entry; all before it are read. */
export const recordFormat = 2;

/**
 * Text as it may stand in an entry: well-formed Unicode, since canonical JSON has no form for a
 * lone surrogate (RFC 8785, 3.2.2.2).
 */
export const wellFormedText = z
  .string()
  .refine((text) => !/\p{Surrogate}/u.test(text), 'text holds half of a surrogate pair');
export const nonEmptyText = wellFormedText.min(1);
export const sha256Hex = z.string().regex(/^[0-9a-f]{64}$/, 'not a SHA-256 in small hexadecimal digits');

const count = z.int().min(0);
const finite = z.number();
const standardUncertainty = finite.min(0);

/**
 * Stands in every entry: the hash of the entry before (64 zeros in the first), its number from 1,
 * the host's time.
 */
export const chained = {
  prev: sha256Hex,
  n: z.int().min(1),
  at: z.iso.datetime({ precision: 3 }),
};

/**
 * Who did or said something: a person at the keyboard, the probe's button, the simulator's hands,
 * an option of the command.
 */
export const bySchema = z.enum(['person', 'button', 'hands', 'option']);
export const levelSchema = z.enum(['normal', 'dry']);
export const quantitySchema = z.enum(['resistance', 'voltage']);
export const powerSchema = z.enum(['on', 'off']);
/** `before` or `after` a repair. */
export const phaseSchema = z.enum(['before', 'after']);
export const outcomeSchema = z.enum([
  'pass',
  'fail',
  'borderline',
  'unsteady',
  'no-contact',
  'live',
]) satisfies z.ZodType<Outcome, Outcome>;
export const proofWhenSchema = z.enum(['opening', 'closing']);
export const proofKindSchema = z.enum(['shorted-tips', 'check-resistor']);

/**
 * Limits in ohm or volt. Limits that bind nothing would let anything pass, so at least one bound is
 * asked for.
 */
export const limitsSchema = z
  .strictObject({ quantity: quantitySchema, min: finite.optional(), max: finite.optional() })
  .refine((limits) => limits.min !== undefined || limits.max !== undefined, 'limits bind nothing') satisfies z.ZodType<
  Limits,
  Limits
>;

export const ruleSchema = z.discriminatedUnion('name', [
  z.strictObject({ name: z.literal('guarded'), p: finite.min(0.5).max(1) }),
  z.strictObject({ name: z.literal('simple') }),
]) satisfies z.ZodType<Rule, Rule>;

/** Raw codes of a captured window, as the measuring room takes them. */
export const windowSchema = z.strictObject({
  tUs: finite,
  periodUs: finite.gt(0),
  range: count,
  level: levelSchema,
  flagBits: z.int().min(0).max(0xffff),
  codes: z.array(z.int().min(0).max(0xffff)),
}) satisfies z.ZodType<CaptureWindow, CaptureWindow>;

export const contactSchema = z.strictObject({
  touchUs: finite,
  makes: count,
  bounceUs: finite,
  dropOuts: z.strictObject({ count, longestUs: finite, totalUs: finite, subReading: count }),
  settleUs: finite,
  seated: z.boolean(),
}) satisfies z.ZodType<ContactSummary, ContactSummary>;

/**
 * The raw side of an evidence entry: what was read, how the tips touched, by which probe, under
 * which calibration (by id, embedded in a `probe` entry before).
 */
export const captureSchema = z.strictObject({
  window: windowSchema,
  contact: contactSchema,
  probeSerial: z.int(),
  calibration: nonEmptyText,
});

/**
 * A reading as stored. `above-range`: `value` is the range end and a bound. Ohm or volt by the
 * entry's quantity.
 */
export const readingSchema = z.strictObject({
  value: finite,
  u: standardUncertainty,
  dof: finite.gt(0),
  state: z.enum(['in-range', 'above-range', 'below-range', 'unreadable']),
  /**
   * What `u` is made of: standard uncertainties by name, in the reading's unit. Records of earlier
   * versions have none.
   */
  parts: z.record(nonEmptyText, standardUncertainty).exactOptional(),
});

export const calibrationSchema = z.strictObject({
  id: nonEmptyText,
  source: z.enum(['nominal', 'probe', 'file']),
  probeSerial: z.int().nullable(),
  dateIso: wellFormedText.nullable(),
  validDays: finite.nullable(),
  ranges: z.array(
    z.strictObject({
      range: count,
      level: levelSchema,
      nOff: finite,
      nOpen: finite,
      rsOhm: finite,
      cov: z.tuple([finite, finite, finite, finite, finite, finite]),
      uCommonRel: standardUncertainty.exactOptional(),
    }),
  ),
  voltage: z.strictObject({ nZero: finite, codesPerVolt: finite, uZero: finite, uCodesPerVoltRel: finite }),
  leadOhm: finite,
  uLeadOhm: finite,
  drift: z
    .strictObject({
      temperatureC: finite.nullable(),
      withinK: standardUncertainty,
      sourcePerK: standardUncertainty,
      spanPerK: standardUncertainty,
      voltPerK: standardUncertainty,
      ageingRel: standardUncertainty,
      periods: z.int().min(1).nullable(),
    })
    .exactOptional(),
  check: z.strictObject({ ohm: finite.gt(0), uOhm: standardUncertainty }).exactOptional(),
}) satisfies z.ZodType<Calibration, Calibration>;

/** What a probe said of itself. */
export const identitySchema = z.strictObject({
  protoMajor: count,
  protoMinor: count,
  fwMajor: count,
  fwMinor: count,
  fwBuild: count,
  probeSerial: count,
  capabilities: z.array(wellFormedText),
  resetCause: z.array(wellFormedText),
  bootCount: count,
  maxPayload: count,
}) satisfies z.ZodType<ProbeIdentity, ProbeIdentity>;

/**
 * How many checks of the guide stand where; `passed + failed + undecided + skipped + notDone =
 * checks`.
 */
export const countsSchema = z.strictObject({
  checks: count,
  passed: count,
  failed: count,
  undecided: count,
  skipped: count,
  notDone: count,
  attempts: count,
  gaps: count,
  live: count,
});

/** Stands in every attempt at a check: which check, which try from 1, before or after a repair. */
export const attemptFields = { check: nonEmptyText, attempt: z.int().min(1), phase: phaseSchema };
