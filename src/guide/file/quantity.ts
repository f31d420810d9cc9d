import { readLetterCode } from '../../measure/reading/letter-code.ts';

/** What a number in a guide is of; its SI unit is what the program keeps. */
export type Dimension = 'ohm' | 'volt' | 'second';

type QuantityFault = 'units.missing' | 'units.wrong' | 'number.comma' | 'number.bad';
export type ParsedQuantity = { ok: true; value: number; unit: string } | { ok: false; code: QuantityFault };

const prefixes: Record<string, number> = {
  '': 1,
  n: 1e-9,
  u: 1e-6,
  µ: 1e-6,
  μ: 1e-6,
  m: 1e-3,
  k: 1e3,
  K: 1e3,
  M: 1e6,
  G: 1e9,
};
const units: Record<Dimension, RegExp> = {
  ohm: /^([nuµμmkKMG]?)(?:[oO]hms?|Ω|Ω)$/,
  volt: /^([uµμmk]?)(?:V|[vV]olts?)$/,
  second: /^([nuµμm]?)(?:s|[sS]econds?)$/,
};
export const exampleQuantity: Record<Dimension, string> = { ohm: '2 ohm', volt: '1.8 V', second: '12 ms' };

const number = String.raw`[+-]?(?:\d+(?:\.\d*)?|\.\d+)(?:[eE][+-]?\d+)?`;
const whole = new RegExp(`^(${number})\\s*([^\\d\\s.,]\\S*)?$`);

/** Ohms as they are marked: `47k`, `1.2k`, `2M`; a lone `m` could mean milli and is no mark. */
const marked = /^\d+(?:\.\d+)?\s*[kKMG]$/;

/**
 * Returns a quantity typed as people do, `2 ohm`, `4.7kohm`, `1 Mohm`, `12 ms`, in SI units, or why
 * it is none. Ohms may stand as on a part too: `47k`, and the letter codes of IEC 60062, `4k7`,
 * `0R22`.
 *
 * The case of a prefix counts (`m` is milli, `M` is mega; `K` is taken for kilo). A number with no
 * unit is never guessed at.
 */
export function parseQuantity(text: string, dimension: Dimension): ParsedQuantity {
  const trimmed = text.trim();
  if (dimension === 'ohm') {
    if (marked.test(trimmed)) return parseQuantity(`${trimmed}ohm`, dimension);
    const code = readLetterCode(trimmed);
    if (code !== null && code.tolerancePct === null) return { ok: true, value: code.ohm, unit: 'ohm' };
  }
  const match = whole.exec(trimmed);
  if (match === null) return { ok: false, code: /^[+-]?\d+,\d/.test(trimmed) ? 'number.comma' : 'number.bad' };
  const [, digits, unit] = match as unknown as [string, string, string | undefined];
  if (unit === undefined) return { ok: false, code: 'units.missing' };
  const scale = unitScale(unit, dimension);
  if (scale === null) return { ok: false, code: 'units.wrong' };
  const value = Number(digits) * scale;
  return Number.isFinite(value) ? { ok: true, value, unit } : { ok: false, code: 'number.bad' };
}

/** Returns how many SI units a unit as typed is, or null when it is not of this dimension. */
function unitScale(unit: string, dimension: Dimension): number | null {
  const prefix = units[dimension].exec(unit)?.[1];
  return prefix === undefined ? null : prefixes[prefix]!;
}
