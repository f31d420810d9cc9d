import { z } from 'zod';
import {
  aShare,
  aText,
  count,
  digest,
  finite,
  olderNameOf,
  powerSchema,
  problem,
  quantitySchema,
  someTexts,
  unbounded,
} from './output-parts.ts';

const answer = z.enum(['yes', 'no', 'unsure']);
const measured = z.strictObject({ value: finite, u: finite, state: aText });
const check = aText;
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

const fault = z.strictObject({ link: aText, mode: aText, ohm: finite.optional(), node: aText.optional() });
const decision = z.strictObject({ id: aText, name: aText, units: someTexts, p: aShare });

const proposal = z.strictObject({
  check,
  bits: finite,
  minutes: finite,
  again: z.literal(true).optional(),
  wipe: aText.optional(),
  because: aText,
});

const plan = z.strictObject({
  steps: z.array(
    z.strictObject({ repair: aText, name: aText, p: aShare, price: finite, minutes: finite, fixes: someTexts }),
  ),
  expectedPrice: finite,
  expectedMinutes: finite,
  left: aShare,
  usual: z.strictObject({ repair: aText, name: aText, expectedPrice: finite, expectedMinutes: finite }).nullable(),
});

const conclusionKind = z.enum(['fault', 'group', 'none', 'unknown', 'open']);
const concluding = {
  decisions: z.array(decision),
  reasons: someTexts,
  plan,
  notTested: someTexts,
  isWhole: z.boolean().nullable(),
  beyond: aText.nullable(),
};

/** `suspects`: what readings typed by hand say. */
export const suspectsForm = z.strictObject({
  guide: aText,
  evidence: z.array(suspectEvidence),
  belief: z.strictObject({
    suspects: z.array(z.strictObject({ id: aText, faults: z.array(fault), decision: aText, prior: aShare, p: aShare })),
    decisions: z.array(decision),
    bits: finite,
    unexplained: someTexts.optional(),
    doubt: aText.nullable(),
  }),
  next: proposal.nullable(),
  proposals: z.array(proposal),
  concluded: z.strictObject({ conclusion: conclusionKind, ...concluding }),
  conclusion: olderNameOf('concluded', z.strictObject({ kind: conclusionKind, ...concluding })),
});

/** `guide check`: one a guide file. */
export const guideCheckForm = z.array(
  z.strictObject({
    file: aText,
    ok: z.boolean(),
    problems: z.array(problem),
    figures: z
      .strictObject({
        detectionRate: aShare,
        isolationRate: aShare,
        ambiguity: z.array(z.strictObject({ decisions: someTexts, suspects: someTexts, share: aShare })),
        unseen: z.array(z.strictObject({ suspect: aText, share: aShare })),
        useless: someTexts,
        outside: someTexts,
      })
      .nullable(),
  }),
);

/** `guide predict`: what the circuit says. */
export const guidePredictForm = z.strictObject({
  guide: aText,
  faults: someTexts,
  power: powerSchema,
  checks: z.array(
    z.strictObject({
      check,
      kind: aText,
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
  between: z.array(z.strictObject({ pads: someTexts, ohm: unbounded, volt: finite, sourceOhm: unbounded })),
  inputs: z.array(z.strictObject({ id: aText, volt: finite, responds: z.boolean() })),
});

/** `priors`: what repaired jobs confirm, and the weights that follow. */
export const priorsForm = z.strictObject({
  guide: aText,
  cases: z.array(
    z.strictObject({
      record: aText,
      job: aText.nullable(),
      faults: z.array(z.strictObject({ link: aText, mode: aText, count: finite })),
      why: aText.nullable(),
    }),
  ),
  weights: z.array(
    z.strictObject({
      link: aText,
      mode: aText,
      before: finite,
      count: finite,
      after: finite,
      shareBefore: aShare,
      shareAfter: aShare,
    }),
  ),
});

/** `learn`: what a sitting at a known-good unit came to. */
export const learnForm = z.strictObject({
  record: aText,
  touches: count,
  unread: someTexts,
  doubts: z.array(z.strictObject({ code: aText, about: someTexts, what: aText, help: aText })),
  links: z.array(z.record(z.string(), z.unknown())).optional(),
  chiSquare: finite.optional(),
  dof: finite.optional(),
  checks: someTexts.optional(),
  unseenModes: z.record(z.string(), someTexts).optional(),
  guideText: aText.nullable(),
});

const pairReading = z.strictObject({ ohm: finite, u: finite, isOpen: z.boolean(), hasFilm: z.boolean() });

/** `compare`: the differences of two units, the most telling first. */
export const compareForm = z.strictObject({
  compared: z.array(z.strictObject({ path: aText, recordIdentity: digest.nullable() })),
  differences: z.array(
    z.strictObject({
      pair: aText,
      says: z.enum(['same', 'spread', 'differs']),
      onGood: pairReading,
      onBad: pairReading,
      ratio: finite.nullable(),
      factor: finite.nullable(),
      sigmas: unbounded,
    }),
  ),
  unread: someTexts,
});
