import { z } from 'zod';
import { recordVerdict } from './job-outputs.ts';
import { aText, count, digest, olderNameOf } from './output-parts.ts';

const departure = z.strictObject({
  n: count.nullable(),
  line: count,
  code: aText,
  what: aText,
  stands: z.unknown().optional(),
  due: z.unknown().optional(),
});

const signature = z.strictObject({
  state: z.enum(['none', 'holds', 'broken', 'other-key']),
  publicKey: aText.nullable(),
  fingerprint: aText.nullable(),
});

const counters = z.strictObject({
  bytes: count,
  lines: count,
  captures: count,
  proofs: count,
  presses: count,
  observations: count,
  bridges: count,
  levels: count,
  holds: count,
  derived: count,
  withheld: count,
});

const explanation = z.strictObject({
  statements: z.array(
    z.strictObject({
      n: count,
      line: count,
      states: aText,
      about: aText.nullable(),
      stands: aText,
      from: z.array(count),
      rules: count,
      comes: z.enum(['same', 'other', 'unknown']),
      departures: z.array(departure),
    }),
  ),
  others: z.array(departure),
  restsOn: z.array(z.strictObject({ what: aText, from: z.array(count) })),
});

const hole = z.strictObject({ series: aText, number: count });

/** What stands beside a record, seen only when several are looked at. */
const beside = z.array(
  z.strictObject({
    code: aText,
    records: z.array(aText),
    files: olderNameOf('records', z.array(aText)),
    what: aText,
    isDeparture: z.boolean(),
    hole: hole.optional(),
    missing: olderNameOf('hole', hole).optional(),
  }),
);

const looked = { record: aText, file: olderNameOf('record', aText) };
const verified = { verified: z.boolean(), ok: olderNameOf('verified', z.boolean()) };

const whole = z.strictObject({
  ...looked,
  ...verified,
  verdict: recordVerdict,
  job: aText.nullable(),
  entryCount: count,
  entries: olderNameOf('entryCount', count),
  rules: z.array(count),
  verifiable: z.boolean(),
  departures: z.array(departure),
  notes: z.array(departure),
  counters,
  result: aText,
  signature,
  signatures: z.array(signature.extend({ n: count })),
  lastSha256: digest.nullable(),
  explanation: explanation.optional(),
  beside,
});

const chained = { chainHolds: z.boolean(), ok: olderNameOf('chainHolds', z.boolean()) };
const chain = z.strictObject({
  ...looked,
  ...chained,
  lines: count,
  badLine: count.nullable(),
  head: aText.nullable(),
});

/** `verify`: one report a record; of one that can't be read, its name. With `--chain-only` only the chain is told. */
export const verifyForm = z.array(
  z.union([
    whole,
    chain,
    z.strictObject({ ...looked, ...verified, beside }),
    z.strictObject({ ...looked, ...chained }),
  ]),
);
