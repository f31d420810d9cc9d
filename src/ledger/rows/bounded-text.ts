import { sha256 } from '../../record/chain/sha256.ts';

const longest = 120;
const digestLength = 12;

/**
 * Returns a text as it may stand in a key of a table: no zero character, which PostgreSQL takes in
 * no text, and at most 120 characters: a longer one is cut, and a digest of the whole follows.
 */
export function boundedText(text: string): string {
  const clean = text.replaceAll('\0', '\u{FFFD}');
  if (clean.length <= longest) return clean;
  // a cut may halve a pair of surrogates
  const begin = clean.slice(0, longest - digestLength - 1).replace(/\p{Surrogate}/gu, '');
  return `${begin}\u2026${sha256(text).slice(0, digestLength)}`;
}

/** Returns a serial number as it is looked for: capitals, no blanks or dashes. */
export function serialKey(serial: string): string {
  return boundedText(
    serial
      .normalize('NFKC')
      .replace(/[\s\p{Pd}]/gu, '')
      .toUpperCase(),
  );
}
