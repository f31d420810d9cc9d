import { z } from 'zod';
import { limitsSchema, outcomeSchema, proofKindSchema, proofWhenSchema } from '../../record/entries/entry-parts.ts';
import { aShare, aText, count, finite, ofRecord, olderNameOf, someTexts, time } from './output-parts.ts';

const scale = z.enum(['linear', 'log']);
const limits = ofRecord(limitsSchema);

/** `limits`: limits that known-good units propose. */
export const limitsForm = z.strictObject({
  guide: aText,
  coverage: aShare,
  confidence: aShare,
  proposals: z.array(
    z.strictObject({
      check: aText,
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
          views: z.array(z.record(aText, z.unknown())),
        })
        .nullable(),
      outliers: z.array(z.strictObject({ unit: aText, value: finite })),
      moreUnits: count,
      reasons: z.array(z.strictObject({ code: aText, text: aText, doubt: z.boolean() })),
      values: z.array(z.strictObject({ unit: aText, value: finite, u: finite.nullable(), isOpen: z.boolean() })),
    }),
  ),
  notes: someTexts,
  written: aText.nullable(),
});

const characteristic = z.strictObject({
  p: aShare,
  accept: aShare,
  reject: aShare,
  undecided: aShare,
  presses: finite,
});

const sequentialTest = z.strictObject({
  p0: aShare,
  p1: aShare,
  alpha: aShare,
  beta: aShare,
  cap: count,
  slope: finite,
  accept: finite,
  reject: finite,
  longest: count,
});

/** `limits presses`: what numbers of presses show. */
export const limitsPressesForm = z.strictObject({
  confidence: aShare,
  successRuns: z.array(z.strictObject({ share: aShare, presses: count })),
  sequentialTest,
  plan: olderNameOf('sequentialTest', sequentialTest),
  sequential: z.array(characteristic),
  checks: z.array(
    z.strictObject({
      check: aText,
      title: aText,
      count,
      maxBad: count,
      shows: aShare.nullable(),
      characteristic: z.array(characteristic),
    }),
  ),
});

/** `health`: each probe's proofs as series, and what they show. */
export const healthForm = z.strictObject({
  lambda: aShare,
  deviations: finite,
  width: olderNameOf('deviations', finite),
  baseline: count,
  series: z.array(
    z.strictObject({
      probe: aText,
      calibrationId: aText,
      calibration: olderNameOf('calibrationId', aText),
      calibrationDate: aText.nullable(),
      what: proofKindSchema,
      proofs: z.array(
        z.strictObject({
          job: aText,
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
  notes: someTexts,
});
