/**
 * What a terminal would obey in place of showing it, or what would show a text in another order
 * than it has: control characters (and with them escape sequences and line breaks), the separators
 * of lines and paragraphs, bidirectional controls, halves of surrogate pairs. Source: The Unicode
 * Standard, general categories Cc, Zl, Zp, Cs; property Bidi_Control (UAX #9).
 */
const obeyed = /[\p{Cc}\p{Zl}\p{Zp}\p{Cs}\p{Bidi_Control}\ufeff]/gu;

/**
 * Returns a text as one line that is safe to print: what a terminal would obey is shown as `\u` and
 * four hexadecimal digits. JSON text stays JSON of the same meaning (RFC 8259, section 7), so data
 * and talk can go the same way.
 */
export function printable(text: string): string {
  return text.replace(obeyed, (character) => `\\u${character.charCodeAt(0).toString(16).padStart(4, '0')}`);
}
