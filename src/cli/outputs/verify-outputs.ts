import { z } from 'zod';
import { verdict } from './job-outputs.ts';
import { count, digest, olderNameOf, text } from './output-parts.ts';

const departure = z.strictObject({
  n: count.nullable(),
  line: count,
  code: text,
  what: text,
  stands: z.unknown().optional(),
  due: z.unknown().optional(),
});

const signature = z.strictObject({
  state: z.enum(['none', 'holds', 'broken', 'other-key']),
  publicKey: text.nullable(),
  fingerprint: text.nullable(),
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
      states: text,
      about: text.nullable(),
      stands: text,
      from: z.array(count),
      rules: count,
      comes: z.enum(['same', 'other', 'unknown']),
      departures: z.array(departure),
    }),
  ),
  others: z.array(departure),
  restsOn: z.array(z.strictObject({ what: text, from: z.array(count) })),
});

const hole = z.strictObject({ series: text, number: count });

/** What stands beside a record, seen only when several are looked at. */
const beside = z.array(
  z.strictObject({
    code: text,
    records: z.array(text),
    files: olderNameOf('records', z.array(text)),
    what: text,
    isDeparture: z.boolean(),
    hole: hole.optional(),
    missing: olderNameOf('hole', hole).optional(),
  }),
);

const looked = { record: text, file: olderNameOf('record', text) };
const verified = { verified: z.boolean(), ok: olderNameOf('verified', z.boolean()) };

const whole = z.strictObject({
  ...looked,
  ...verified,
  verdict,
  job: text.nullable(),
  entryCount: count,
  entries: olderNameOf('entryCount', count),
  rules: z.array(count),
  verifiable: z.boolean(),
  departures: z.array(departure),
  notes: z.array(departure),
  counters,
  result: text,
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
  head: text.nullable(),
});

/** `verify`: one report a record; of one that can't be read, its name. With `--chain-only` only the chain is told. */
export const verifyReports = z.array(
  z.union([
    whole,
    chain,
    z.strictObject({ ...looked, ...verified, beside }),
    z.strictObject({ ...looked, ...chained }),
  ]),
);
