import { z } from 'zod';
import { entrySchema } from '../../record/entries/entries.ts';
import {
  countsSchema,
  limitsSchema,
  proofKindSchema,
  proofWhenSchema,
  readingSchema,
} from '../../record/entries/entry-parts.ts';
import { suspectEvidence } from './guide-outputs.ts';
import {
  aText,
  count,
  entryOf,
  finite,
  ofRecord,
  olderNameOf,
  outcomeSchema,
  powerSchema,
  someTexts,
  time,
} from './output-parts.ts';

const result = z.enum(['passed', 'repaired', 'failed', 'no-fault-found', 'inconclusive', 'abandoned']);
const standing = z.enum(['held', 'failed', 'missing']);
export const recordVerdict = z.enum(['holds', 'departs', 'not-verifiable', 'not-signed']);
const counts = ofRecord(countsSchema);
const outcome = outcomeSchema.nullable();

const attempt = z.strictObject({
  n: count,
  at: time,
  kind: aText,
  attempt: count,
  phase: z.enum(['before', 'after']),
  repairs: count,
  outcome: outcomeSchema,
  why: aText,
  evidence: suspectEvidence.nullable(),
  reading: ofRecord(readingSchema).nullable(),
  limits: ofRecord(limitsSchema).nullable(),
  span: count.nullable(),
});

const checkState = z.strictObject({
  id: aText,
  title: aText,
  kind: aText,
  inGuide: z.boolean(),
  attempts: z.array(attempt),
  withdrawn: count,
  redo: z.boolean(),
  failedBefore: count.nullable(),
  skipped: z.strictObject({ reason: aText, by: aText, at: time }).nullable(),
  outcome,
  before: outcome,
  after: outcome,
  doubtful: z.boolean(),
});

/** `demo`, `start`, `resume`, `run`, `addendum`: what a session came to. */
export const sessionForm = z.strictObject({
  record: aText,
  job: aText.nullable(),
  open: z.boolean(),
  result,
  exitCode: count,
  counts,
  proofs: standing,
  doubtful: z.boolean(),
  checks: z.array(checkState),
  concluded: entryOf('concluded').nullable(),
  repairs: z.array(entryOf('repair')),
});

/** `jobs`: one line a job. */
export const jobsForm = z.array(
  z.strictObject({
    record: aText,
    path: olderNameOf('record', aText),
    job: aText.nullable(),
    guideTitle: aText.nullable(),
    guide: olderNameOf('guideTitle', aText.nullable()),
    device: z.strictObject({ maker: aText, name: aText, revision: aText, serial: aText.optional() }).nullable(),
    ticket: aText.nullable(),
    openedAt: time.nullable(),
    lastAt: time.nullable(),
    entryCount: count,
    entries: olderNameOf('entryCount', count),
    open: z.boolean(),
    result,
    proofs: standing,
    doubtful: z.boolean(),
    counts,
    units: someTexts,
    signed: z.boolean(),
    addenda: count,
    emulated: z.boolean(),
    verdict: recordVerdict,
    verified: z.boolean(),
    trouble: aText.nullable(),
  }),
);

const proof = z.strictObject({
  n: count,
  at: time,
  outcome: outcomeSchema,
  reading: ofRecord(readingSchema).nullable(),
  expected: z.strictObject({ min: finite, max: finite }),
  why: aText,
  failedBefore: count,
  tooOften: z.boolean(),
});
const proofSet = z.partialRecord(proofKindSchema, proof);
const bothEnds = Object.fromEntries(proofWhenSchema.options.map((when) => [when, proofSet])) as Record<
  z.infer<typeof proofWhenSchema>,
  typeof proofSet
>;

const state = z.strictObject({
  opened: entryOf('opened').nullable(),
  job: aText.nullable(),
  rules: count,
  entries: count,
  lastAt: time.nullable(),
  cautions: someTexts,
  probe: entryOf('probe').nullable(),
  emulated: z.boolean(),
  power: powerSchema.nullable(),
  checks: z.record(aText, checkState),
  spans: z.array(
    z.strictObject({
      probeSerial: count.nullable(),
      calibration: aText.nullable(),
      ...bothEnds,
      standing,
      captures: count,
    }),
  ),
  proofs: z.strictObject({ ...bothEnds, standing }),
  failedProofs: z.array(count),
  doubtful: z.boolean(),
  unfinished: someTexts,
  counts,
  gaps: z.array(entryOf('gap')),
  live: z.array(entryOf('live')),
  repairs: z.array(entryOf('repair')),
  addenda: z.array(entryOf('addendum')),
  resultBefore: result.nullable(),
  returned: z.strictObject({ n: count, repairs: count }).nullable(),
  concluded: entryOf('concluded').nullable(),
  found: entryOf('concluded').nullable(),
  notes: z.array(z.strictObject({ n: count, at: time, text: aText })),
  resumes: count,
  recovered: z.array(entryOf('recovered')),
  link: z.record(aText, z.unknown()).nullable(),
  customer: entryOf('customer').nullable(),
  signed: entryOf('signed').nullable(),
  closed: entryOf('closed').nullable(),
  result,
});

/** `show`: one line a record, with what its entries come to and the entries themselves. */
export const showForm = z.strictObject({
  record: aText,
  path: olderNameOf('record', aText),
  whole: z.boolean(),
  verified: z.boolean(),
  verdict: recordVerdict,
  state: ofRecord(state),
  entries: z.array(ofRecord(entrySchema)),
});
