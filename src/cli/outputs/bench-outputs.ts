import { z } from 'zod';
import { windowSchema } from '../../record/entries/entry-parts.ts';
import { successionSchema } from '../../record/entries/succession-part.ts';
import {
  aText,
  count,
  finite,
  identitySchema,
  ofRecord,
  outcomeSchema,
  quantitySchema,
  reading,
  someTexts,
} from './output-parts.ts';

const identity = ofRecord(identitySchema);
const port = z.strictObject({
  path: aText,
  vendorId: aText.nullable(),
  productId: aText.nullable(),
  serialNumber: aText.nullable(),
  manufacturer: aText.nullable(),
  twin: aText.nullable(),
});

/** `probes`: what is on each port. */
export const probesForm = z.array(
  z.union([
    z.strictObject({ port, state: z.literal('probe'), identity }),
    z.strictObject({ port, state: z.enum(['no-probe', 'closed-to-us']), code: aText, why: aText, help: aText }),
  ]),
);

const settingValue = z.union([aText, z.boolean()]).nullable();
const setting = z.strictObject({ key: aText, value: settingValue, origin: aText, overruled: someTexts });

/** `config get`: one setting. */
export const configGetForm = setting;

/** `config list`: all of them. */
export const configListForm = z.strictObject({
  userFile: aText,
  shopFile: aText,
  settings: z.array(setting),
  problems: someTexts,
});

/** `doctor`: what was looked at. */
export const doctorForm = z.array(
  z.strictObject({
    what: aText,
    state: z.enum(['good', 'note', 'wrong']),
    text: aText,
    mend: aText.nullable(),
    exitCode: count,
  }),
);

/** `example`: names of the examples, or paths of the copies. */
export const exampleForm = someTexts;

/** `key`: the public half. */
export const keyForm = z.strictObject({
  publicKey: aText,
  fingerprint: aText,
  pem: aText,
  path: aText,
  succession: z.array(ofRecord(successionSchema)),
});

/** `meter`: one line of readings; about ten a second. */
export const meterForm = z.strictObject({
  tUs: finite,
  reading,
  seatA: z.boolean(),
  seatB: z.boolean(),
  live: z.boolean(),
  range: count,
});

/** `replay`: what a byte stream comes to. */
export const replayForm = z.strictObject({
  file: aText,
  captures: z.array(
    z.strictObject({
      tUs: finite,
      input: aText,
      level: z.enum(['normal', 'dry']),
      quantity: quantitySchema,
      window: ofRecord(windowSchema),
      reading,
      outcome: outcomeSchema.nullable(),
      why: aText,
    }),
  ),
  readings: count,
  gaps: count,
  counters: z.record(aText, z.unknown()),
});
