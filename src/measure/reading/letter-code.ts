/**
 * What each letter of IEC 60062 multiplies by; the letter stands where the decimal point would. L
 * (milliohm) came with a later edition.
 */
const multipliers: Readonly<Record<string, number>> = { L: -3, R: 0, K: 3, M: 6, G: 9, T: 12 };
/** Tolerance in percent by letter (IEC 60062; letters from memory). */
export const toleranceLetters: Readonly<Record<string, number>> = {
  E: 0.005,
  L: 0.01,
  P: 0.02,
  W: 0.05,
  B: 0.1,
  C: 0.25,
  D: 0.5,
  F: 1,
  G: 2,
  J: 5,
  K: 10,
  M: 20,
  N: 30,
};
const form = /^(\d{0,4})([LRKMGT])(\d{0,4})([ELPWBCDFGJKMN]?)$/;

/**
 * Returns the value and tolerance of a letter code (IEC 60062), as `4K7`, `R47`, `470R`, `4K7J`;
 * null for anything else. Capital letters only, but for a `k` or `r` that stands as the point: a
 * small `m` could mean milli.
 */
export function readLetterCode(text: string): { ohm: number; tolerancePct: number | null; ppmPerK: null } | null {
  const match = form.exec(text.replace(/^(\d*)[kr]/, (part) => part.toUpperCase()));
  if (match === null) return null;
  const [, before, letter, after, tolerance] = match as unknown as [string, string, string, string, string];
  if (before === '' && after === '') return null;
  // through decimal text, so that 4K7 is 4700 and not 4700.000000000001
  const ohm = Number(`${before === '' ? '0' : before}.${after === '' ? '0' : after}e${multipliers[letter]}`);
  return { ohm, tolerancePct: tolerance === '' ? null : toleranceLetters[tolerance]!, ppmPerK: null };
}
