import { z } from 'zod';
import { limitsSchema, outcomeSchema, proofKindSchema, proofWhenSchema } from '../../record/entries/entry-parts.ts';
import { count, finite, ofRecord, olderNameOf, share, text, texts, time } from './output-parts.ts';

const scale = z.enum(['linear', 'log']);
const limits = ofRecord(limitsSchema);

/** `limits`: limits that known-good units propose. */
export const proposedLimits = z.strictObject({
  guide: text,
  coverage: share,
  confidence: share,
  proposals: z.array(
    z.strictObject({
      check: text,
      sides: z.enum(['upper', 'lower', 'both']),
      current: limits,
      verdict: z.enum(['proposed', 'doubtful', 'none']),
      limits: limits.nullable(),
      method: z.enum(['normal', 'extremes']).nullable(),
      n: count,
      factor: finite.nullable(),
      fits: z.array(z.strictObject({ scale, mean: finite, sd: finite, middle: finite, min: finite, max: finite })),
      shape: z
        .strictObject({
          scales: z.array(scale),
          outliers: z.array(count),
          views: z.array(z.record(text, z.unknown())),
        })
        .nullable(),
      outliers: z.array(z.strictObject({ unit: text, value: finite })),
      moreUnits: count,
      reasons: z.array(z.strictObject({ code: text, text, doubt: z.boolean() })),
      values: z.array(z.strictObject({ unit: text, value: finite, u: finite.nullable(), isOpen: z.boolean() })),
    }),
  ),
  notes: texts,
  written: text.nullable(),
});

const characteristic = z.strictObject({
  p: share,
  accept: share,
  reject: share,
  undecided: share,
  presses: finite,
});

const sequentialTest = z.strictObject({
  p0: share,
  p1: share,
  alpha: share,
  beta: share,
  cap: count,
  slope: finite,
  accept: finite,
  reject: finite,
  longest: count,
});

/** `limits presses`: what numbers of presses show. */
export const pressPlans = z.strictObject({
  confidence: share,
  successRuns: z.array(z.strictObject({ share, presses: count })),
  sequentialTest,
  plan: olderNameOf('sequentialTest', sequentialTest),
  sequential: z.array(characteristic),
  checks: z.array(
    z.strictObject({
      check: text,
      title: text,
      count,
      maxBad: count,
      shows: share.nullable(),
      characteristic: z.array(characteristic),
    }),
  ),
});

/** `health`: each probe's proofs as series, and what they show. */
export const probeHealth = z.strictObject({
  lambda: share,
  deviations: finite,
  width: olderNameOf('deviations', finite),
  baseline: count,
  series: z.array(
    z.strictObject({
      probe: text,
      calibrationId: text,
      calibration: olderNameOf('calibrationId', text),
      calibrationDate: text.nullable(),
      what: proofKindSchema,
      proofs: z.array(
        z.strictObject({
          job: text,
          at: time,
          when: proofWhenSchema,
          what: proofKindSchema,
          outcome: outcomeSchema,
          ohm: finite.nullable(),
          uRepeatOhm: finite,
          probeSerial: count,
        }),
      ),
      health: z.strictObject({
        state: z.enum(['few', 'steady', 'drifting', 'returned']),
        needed: count,
        target: finite.nullable(),
        sd: finite.nullable(),
        chart: z
          .strictObject({
            points: z.array(
              z.strictObject({ value: finite, average: finite, lower: finite, upper: finite, out: z.boolean() }),
            ),
            signal: count.nullable(),
            began: count.nullable(),
          })
          .nullable(),
      }),
      beganAt: time.nullable(),
      signalAt: time.nullable(),
      notPassed: count,
    }),
  ),
  notes: texts,
});
