import { z } from 'zod';
import { calibrationSchema, levelSchema } from '../../record/entries/entry-parts.ts';
import { aText, count, finite, ofRecord, olderNameOf, unbounded } from './output-parts.ts';

const verdict = z.enum(['good', 'doubtful', 'refused']);
const fitProblem = z.strictObject({ code: aText, text: aText, atBest: verdict });
const residual = z.strictObject({
  index: count,
  residualCode: finite,
  residualOhm: unbounded,
  standardised: finite,
  used: z.boolean(),
});
const fitted = {
  residuals: z.array(residual),
  chiSquare: unbounded,
  dof: finite,
  probability: unbounded,
  verdict,
  problems: z.array(fitProblem),
};

const rangeFit = z.strictObject({
  range: count,
  level: levelSchema,
  nOff: finite,
  nOpen: finite,
  rsOhm: finite,
  cov: z.array(finite),
  uCommonRel: finite.optional(),
  uOff: finite,
  uOpen: finite,
  uRsOhm: finite,
  iterations: count,
  outliers: z.array(
    z.strictObject({
      index: count,
      deviation: finite,
      readsOhm: unbounded,
      cause: aText,
      wouldBeOhm: finite.nullable(),
      otherIndex: count.nullable(),
      text: aText,
    }),
  ),
  ...fitted,
});
const voltageFit = z.strictObject({
  nZero: finite,
  codesPerVolt: finite,
  uZero: finite,
  uCodesPerVoltRel: finite,
  ...fitted,
});

const notFitted = { ok: z.literal(false), problem: fitProblem };
const place = { range: count, level: levelSchema, pointIndexes: z.array(count) };
const ranges = z.array(
  z.union([
    z.strictObject({ ...place, ok: z.literal(true), fit: rangeFit }),
    z.strictObject({ ...place, ...notFitted }),
  ]),
);

const block = z.strictObject({
  probeSerial: count,
  dateUnixS: count,
  validDays: count,
  temperatureC: finite,
  setId: aText,
  entries: z.array(z.record(aText, z.unknown())),
});
const calibration = ofRecord(calibrationSchema);

const wholeFit = {
  verdict,
  problems: z.array(fitProblem),
  ranges,
  voltage: z.union([z.strictObject({ ok: z.literal(true), fit: voltageFit }), z.strictObject(notFitted)]).nullable(),
  missing: z.array(z.strictObject({ range: count, level: levelSchema })),
  calibration: calibration.nullable(),
  block: block.nullable(),
};

const level = z.enum(['normal', 'dry', 'voltage']);
const standard = z.discriminatedUnion('kind', [
  z.strictObject({ kind: z.literal('short') }),
  z.strictObject({ kind: z.literal('open') }),
  z.strictObject({
    kind: z.literal('resistor'),
    ohm: finite,
    uOhm: finite,
    uCommonRel: finite,
    name: aText.optional(),
  }),
  z.strictObject({ kind: z.literal('volt'), volt: finite, uVolt: finite }),
]);

/** `calibrate fit`: points of a file, fitted. */
export const calibrateFitForm = z.strictObject({
  file: aText,
  set: aText.nullable(),
  points: z.array(
    z.strictObject({ line: count, range: count, level, standard, code: finite, uCode: finite, n: count }),
  ),
  ...wholeFit,
  next: z.array(z.strictObject({ range: count, level, standard, gain: finite, why: aText })),
});

const checkResistor = z.strictObject({ ohm: finite, uOhm: finite }).nullable();

/** `calibrate`: what a sitting came to, and where it was put. */
export const calibrateForm = z.strictObject({
  verdict,
  stored: z.strictObject({ path: aText, keptPath: aText.nullable() }).nullable(),
  inProbe: z.boolean(),
  pointsFile: aText.nullable(),
  points: olderNameOf('pointsFile', aText.nullable()),
  checkResistor,
  check: olderNameOf('checkResistor', checkResistor),
  fit: z.strictObject(wholeFit).nullable(),
  calibration: calibration.nullable(),
});
