import { z } from 'zod';
import { aText, digest, finite, someTexts, unbounded } from '../outputs/output-parts.ts';

const pairReading = z.strictObject({ ohm: finite, u: finite, isOpen: z.boolean(), hasFilm: z.boolean() });

/** What `compare --json` prints. */
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
