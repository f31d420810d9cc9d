import { z } from 'zod';
import { aText, count, time } from './output-parts.ts';

/** `ledger add`: what was done about each record. */
export const ledgerAddForm = z.array(
  z.strictObject({
    record: aText,
    put: z.enum(['new', 'grown', 'known', 'aside', 'none']),
    entryCount: count,
    verified: z.boolean(),
    code: aText.nullable(),
  }),
);

/** `ledger check`: what does not hold. */
export const ledgerCheckForm = z.array(z.strictObject({ code: aText, subject: aText }));

/** `ledger history`: the jobs of a unit, latest first. */
export const ledgerHistoryForm = z.array(
  z.strictObject({
    job: aText,
    openedAt: time,
    lastAt: time,
    open: z.boolean(),
    result: aText,
    verified: z.boolean(),
    emulated: z.boolean(),
    ticket: aText,
    events: z.array(z.strictObject({ act: z.enum(['found', 'repaired']), unit: aText, helped: z.boolean() })),
  }),
);
