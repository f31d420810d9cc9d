import { z } from 'zod';
import { windowSchema } from '../../record/entries/entry-parts.ts';
import { successionSchema } from '../../record/entries/succession-part.ts';
import {
  count,
  finite,
  identitySchema,
  ofRecord,
  outcomeSchema,
  quantitySchema,
  reading,
  text,
  texts,
} from './output-parts.ts';

const identity = ofRecord(identitySchema);
const port = z.strictObject({
  path: text,
  vendorId: text.nullable(),
  productId: text.nullable(),
  serialNumber: text.nullable(),
  manufacturer: text.nullable(),
  twin: text.nullable(),
});

/** `probes`: what is on each port. */
export const foundProbes = z.array(
  z.union([
    z.strictObject({ port, state: z.literal('probe'), identity }),
    z.strictObject({ port, state: z.enum(['no-probe', 'closed-to-us']), code: text, why: text, help: text }),
  ]),
);

const settingValue = z.union([text, z.boolean()]).nullable();
const setting = z.strictObject({ key: text, value: settingValue, origin: text, overruled: texts });

/** `config get`: one setting. */
export const oneSetting = setting;

/** `config list`: all of them. */
export const allSettings = z.strictObject({
  userFile: text,
  shopFile: text,
  settings: z.array(setting),
  problems: texts,
});

/** `doctor`: what was looked at. */
export const benchFindings = z.array(
  z.strictObject({
    what: text,
    state: z.enum(['good', 'note', 'wrong']),
    text,
    mend: text.nullable(),
    exitCode: count,
  }),
);

/** `example`: names of the examples, or paths of the copies. */
export const exampleFiles = texts;

/** `key`: the public half. */
export const benchKey = z.strictObject({
  publicKey: text,
  fingerprint: text,
  pem: text,
  path: text,
  succession: z.array(ofRecord(successionSchema)),
});

/** `meter`: one line of readings; about ten a second. */
export const meterLine = z.strictObject({
  tUs: finite,
  reading,
  seatA: z.boolean(),
  seatB: z.boolean(),
  live: z.boolean(),
  range: count,
});

/** `replay`: what a byte stream comes to. */
export const replayed = z.strictObject({
  file: text,
  captures: z.array(
    z.strictObject({
      tUs: finite,
      input: text,
      level: z.enum(['normal', 'dry']),
      quantity: quantitySchema,
      window: ofRecord(windowSchema),
      reading,
      outcome: outcomeSchema.nullable(),
      why: text,
    }),
  ),
  readings: count,
  gaps: count,
  counters: z.record(text, z.unknown()),
});
