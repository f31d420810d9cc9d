import type { Outcome } from '../../measure/types.ts';

/**
 * Names of marks: each outcome has one, and so has what is not (yet) an outcome. `question`: not
 * decided which. `doubtful`: there is a result, and a reason not to rely on it. `caution`: read it
 * before you go on.
 */
export type Mark = Outcome | 'skipped' | 'none' | 'now' | 'question' | 'doubtful' | 'changed' | 'caution';

/**
 * One character a mark, in ASCII and beyond it. A mark has one meaning, in every face and on every
 * paper. All differ in shape, none by colour alone.
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
  doubtful: { ascii: '&', unicode: '\u2020' },
  changed: { ascii: '*', unicode: '\u25c6' },
  caution: { ascii: '^', unicode: '\u25b2' },
};

/** What each mark says, in a few words: the legend of every face. */
export const markMeanings: Record<Mark, string> = {
  pass: 'a pass; a good fit',
  fail: 'a fail; a fit that is refused',
  borderline: 'borderline: too near a limit to say',
  unsteady: 'unsteady: it moved while it was read',
  'no-contact': 'no contact: nothing was touched',
  live: 'live: a voltage on the tips',
  skipped: 'skipped, with a reason on record',
  none: 'not done yet',
  now: 'in hand now',
  question: 'not decided which',
  doubtful: 'there is a reason not to rely on this result',
  changed: 'repaired or replaced',
  caution: 'a caution: read it before you go on',
};

/** Returns a mark as plain lines show it, in brackets so that a column can be scanned: `[+]`. */
export function bracketed(mark: Mark): string {
  return `[${marks[mark].ascii}]`;
}
