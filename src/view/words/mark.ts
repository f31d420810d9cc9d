import type { Outcome } from '../../measure/types.ts';

/** Names of marks: each outcome has one, and so has what is not (yet) an outcome. */
export type Mark = Outcome | 'skipped' | 'none' | 'now' | 'question' | 'changed';

/**
 * One character a mark, in ASCII and beyond it. A mark has one meaning, in every face and on every paper.
 * All differ in shape, none by colour alone.
 */
export const marks: Record<Mark, { ascii: string; unicode: string }> = {
  pass: { ascii: '+', unicode: '\u2713' },
  fail: { ascii: 'x', unicode: '\u2717' },
  borderline: { ascii: '=', unicode: '\u00b1' },
  unsteady: { ascii: '~', unicode: '~' },
  'no-contact': { ascii: 'o', unicode: '\u25cb' },
  live: { ascii: '!', unicode: '!' },
  skipped: { ascii: '/', unicode: '\u00bb' },
  none: { ascii: '.', unicode: '\u00b7' },
  now: { ascii: '>', unicode: '\u25b8' },
  question: { ascii: '?', unicode: '?' },
  changed: { ascii: '*', unicode: '\u25c6' },
};
