import { z } from 'zod';
import {
  count,
  finite,
  olderNameOf,
  powerSchema,
  problem,
  quantitySchema,
  share,
  text,
  texts,
  unbounded,
} from './output-parts.ts';

const answer = z.enum(['yes', 'no', 'unsure']);
const measured = z.strictObject({ value: finite, u: finite, state: text });
const check = text;
const numberShown = { check, quantity: quantitySchema, reading: measured.nullable(), unsteady: z.boolean() };

/** What one attempt at a check says about the device. */
export const suspectEvidence = z.discriminatedUnion('kind', [
  z.strictObject({ kind: z.literal('resistance'), ...numberShown }),
  z.strictObject({ kind: z.literal('voltage'), ...numberShown }),
  z.strictObject({ kind: z.literal('steady'), ...numberShown }),
  z.strictObject({ kind: z.literal('dry-normal'), check, dry: measured, normal: measured }),
  z.strictObject({ kind: z.literal('presses'), check, closed: measured.nullable(), bad: count, count }),
  z.strictObject({ kind: z.literal('look'), check, answer }),
  z.strictObject({ kind: z.literal('bridge'), check, proven: z.boolean(), idle: measured.nullable(), answer }),
]);

const fault = z.strictObject({ link: text, mode: text, ohm: finite.optional(), node: text.optional() });
const decision = z.strictObject({ id: text, name: text, units: texts, p: share });

const proposal = z.strictObject({
  check,
  bits: finite,
  minutes: finite,
  again: z.literal(true).optional(),
  wipe: text.optional(),
  because: text,
});

const plan = z.strictObject({
  steps: z.array(z.strictObject({ repair: text, name: text, p: share, price: finite, minutes: finite, fixes: texts })),
  expectedPrice: finite,
  expectedMinutes: finite,
  left: share,
  usual: z.strictObject({ repair: text, name: text, expectedPrice: finite, expectedMinutes: finite }).nullable(),
});

const conclusionKind = z.enum(['fault', 'group', 'none', 'unknown', 'open']);
const concluding = {
  decisions: z.array(decision),
  reasons: texts,
  plan,
  notTested: texts,
  isWhole: z.boolean().nullable(),
  beyond: text.nullable(),
};

/** `suspects`: what readings typed by hand say. */
export const suspected = z.strictObject({
  guide: text,
  evidence: z.array(suspectEvidence),
  belief: z.strictObject({
    suspects: z.array(z.strictObject({ id: text, faults: z.array(fault), decision: text, prior: share, p: share })),
    decisions: z.array(decision),
    bits: finite,
    unexplained: texts.optional(),
    doubt: text.nullable(),
  }),
  next: proposal.nullable(),
  proposals: z.array(proposal),
  concluded: z.strictObject({ conclusion: conclusionKind, ...concluding }),
  conclusion: olderNameOf('concluded', z.strictObject({ kind: conclusionKind, ...concluding })),
});

/** `guide check`: one a guide file. */
export const checkedGuides = z.array(
  z.strictObject({
    file: text,
    ok: z.boolean(),
    problems: z.array(problem),
    figures: z
      .strictObject({
        detectionRate: share,
        isolationRate: share,
        ambiguity: z.array(z.strictObject({ decisions: texts, suspects: texts, share })),
        unseen: z.array(z.strictObject({ suspect: text, share })),
        useless: texts,
        outside: texts,
      })
      .nullable(),
  }),
);

/** `guide predict`: what the circuit says. */
export const predicted = z.strictObject({
  guide: text,
  faults: texts,
  power: powerSchema,
  checks: z.array(
    z.strictObject({
      check,
      kind: text,
      predicted: z.strictObject({
        ohm: unbounded.optional(),
        releasedOhm: unbounded.optional(),
        volt: finite.optional(),
        answer: z.enum(['yes', 'no']).optional(),
        dryOhm: unbounded.optional(),
        idleVolt: finite.optional(),
        closedVolt: finite.optional(),
        proven: z.boolean().optional(),
        responds: z.boolean().optional(),
      }),
      insideLimits: z.boolean().nullable(),
      unsteady: z.boolean(),
      spread: finite,
    }),
  ),
  between: z.array(z.strictObject({ pads: texts, ohm: unbounded, volt: finite, sourceOhm: unbounded })),
  inputs: z.array(z.strictObject({ id: text, volt: finite, responds: z.boolean() })),
});

/** `priors`: what repaired jobs confirm, and the weights that follow. */
export const countedPriors = z.strictObject({
  guide: text,
  cases: z.array(
    z.strictObject({
      record: text,
      job: text.nullable(),
      faults: z.array(z.strictObject({ link: text, mode: text, count: finite })),
      why: text.nullable(),
    }),
  ),
  weights: z.array(
    z.strictObject({
      link: text,
      mode: text,
      before: finite,
      count: finite,
      after: finite,
      shareBefore: share,
      shareAfter: share,
    }),
  ),
});
