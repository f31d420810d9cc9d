/**
 * Returns a text as one line without control characters, so that no guide or ticket can break a
 * frame.
 */
export function plainLine(text: string): string {
  return text.replace(/[\s\p{Cc}\p{Cf}\p{Cs}]+/gu, ' ').trim();
}
