import stringWidth from 'string-width';

/**
 * Ranges whose combining marks every terminal puts over the letter before them. Younger marks take
 * a column of their own on terminals with older tables, and would push a row past its end.
 *
 * These are the marks of Unicode 5.0, as terminals' tables of column widths have had them since
 * then; a test holds them against a terminal with such a table.
 */
const oldMarks =
  '\\u0300-\\u0486\\u0488-\\u0615\\u064b-\\u065e\\u0670-\\u07f3\\u0901\\u0902\\u093c-\\u0954\\u0962-\\u09e3' +
  '\\u0a01-\\u0a4d\\u0a70\\u0a71\\u0a81-\\u0ae3\\u0b01-\\u0b43\\u0b4d\\u0b56\\u0b82-\\u0bcd\\u0c3e-\\u0c56' +
  '\\u0cbc-\\u0ce3\\u0d41-\\u0d43\\u0d4d\\u0dca-\\u0eb9\\u0ebb-\\u0ecd\\u0f18-\\u0f87\\u0f90-\\u1032' +
  '\\u1036-\\u1039\\u1058\\u1059\\u135f-\\u180d\\u18a9-\\u1a18\\u1b00-\\u1b73\\u1dc0-\\u1dca\\u1dfe-\\u20e2' +
  '\\u20e4-\\u20ef\\u302a-\\u309a\\ua806-\\ua826\\ufb1e-\\ufe23';

/**
 * What terminals disagree about: marks younger than those, vowels and finals of old Korean, what is
 * not seen by itself, the skin of an emoji.
 */
const unsure = new RegExp(
  `(?![${oldMarks}])[\\p{Mn}\\p{Me}]|[\\ud7b0-\\ud7ff]|\\p{Default_Ignorable_Code_Point}|\\p{Emoji_Modifier}|\\p{Cf}`,
  'gu',
);
/** Numbers in circles on black squares: one column by the standard, two by some tables. */
const unsureSigns = /[\u3248-\u324f]/gu;
/** Two vowels that terminals give a column, though a letter with one counts as one; each with its two parts. */
const twoPart: Record<string, string> = { '\u0e33': '\u0e4d\u0e32', '\u0eb3': '\u0ecd\u0eb2' };
/** Latin letters, signs, box drawing, Chinese, Japanese and Korean syllables: nothing of the above. */
const agreed =
  /^[\x20-\x7e\xa0-\xac\xae-\u02ff\u2010-\u2027\u2030-\u205e\u2070-\u20cf\u2100-\u2bff\u3001-\u3029\u3030-\u3098\u30a0-\u3163\u3165-\u3247\u3250-\u9fff\uac00-\ud7a3]*$/;
const clusters = new Intl.Segmenter();

/**
 * Returns a text without what terminals give different columns to, its letters composed. Letters
 * stay; a mark that is left out leaves its letter.
 */
export function sureColumns(text: string): string {
  if (agreed.test(text)) return text;
  const sure = text
    .normalize()
    .replace(unsure, '')
    .replace(unsureSigns, '?')
    .replace(/[\u0e33\u0eb3]/g, (vowel) => twoPart[vowel]!)
    .normalize();
  return [...clusters.segment(sure)].map(({ segment }) => parted(segment)).join('');
}

/**
 * Letters that are joined to one are counted as one, and each has its column on most terminals:
 * they stand apart. Syllables of Korean letters are one everywhere.
 */
function parted(cluster: string): string {
  const letters = cluster.match(/[\p{L}\p{Mc}]/gu) ?? [];
  if (letters.length < 2 || /[\u1100-\u11ff]/.test(cluster)) return cluster;
  const columns = letters.reduce((sum, letter) => sum + stringWidth(letter), 0);
  if (columns <= stringWidth(cluster)) return cluster;
  const apart = cluster.replace(/\p{Mn}+(?=\p{L})/gu, '');
  return stringWidth(apart) < columns ? '?'.repeat(columns) : apart;
}
