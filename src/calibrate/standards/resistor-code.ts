import { readLetterCode } from '../../measure/reading/letter-code.ts';
import { type ColourCode, colourBands, readColourBands } from './colour-bands.ts';

/**
 * A resistor as its marking says: nominal value in ohm, tolerance in percent and temperature
 * coefficient where they are marked.
 */
export interface ResistorCode {
  ohm: number;
  tolerancePct: number | null;
  ppmPerK: number | null;
  read: 'value' | 'letters' | 'bands' | 'digits';
}

/** Why a marking could not be read, in one sentence. */
export interface CodeProblem {
  code: 'empty' | 'colour' | 'bands' | 'backwards' | 'value' | 'tolerance';
  text: string;
}

export type CodeResult = { ok: true; resistor: ResistorCode } | { ok: false; problem: CodeProblem };

const prefixes: Readonly<Record<string, number>> = { m: 1e-3, '': 1, k: 1e3, K: 1e3, M: 1e6, G: 1e9 };
const value = /^(\d+(?:\.\d*)?|\.\d+)(?:e([+-]?\d+))?\s*([mkKMG]?)\s*(?:[oO]hms?|\u03a9|\u2126)?$/;
const tolerance = /^(.*?)[\s,;]*(?:\+\/?-|\u00b1)?\s*(\d+(?:\.\d*)?|\.\d+)\s*%$/;

/**
 * Returns the resistor that a text describes: a value with its tolerance (`4.7 kohm 1 %`, `47k`), a
 * letter code (`4K7F`, `R010`), the colour bands from the first one on (`yellow violet red gold`,
 * commas or hyphens will do), or the digits on a chip (`4992`; only after `chip `, since `100`
 * alone is a value). Never guesses: what can be read in two ways is refused.
 */
export function readResistor(text: string): CodeResult {
  const trimmed = text.trim();
  if (trimmed === '') return refuse('empty', 'there is no value, letter code or colour');
  const bands = colourBands(trimmed);
  if (bands !== null) return fromBands(readColourBands(bands));
  const chip = /^chip\s+(\S+)$/i.exec(trimmed);
  if (chip !== null) return readChip(chip[1]!);
  const [, before, percent] = tolerance.exec(trimmed) ?? [];
  const body = (before ?? trimmed).trim();
  const marked = readLetterCode(body);
  if (marked !== null) return withTolerance({ ...marked, read: 'letters' }, percent);
  const match = value.exec(body);
  if (match === null) {
    return refuse('value', `'${text}' is no resistance; write it as 4.7 kohm 1 %, 4K7F, or brown black red gold`);
  }
  const [, digits, exponent, prefix] = match;
  const ohm = Number(`${digits}e${exponent ?? '0'}`) * prefixes[prefix ?? '']!;
  if (!Number.isFinite(ohm)) return refuse('value', `'${text}' is too large for a resistance`);
  return withTolerance({ ohm: tidy(ohm), tolerancePct: null, ppmPerK: null, read: 'value' }, percent);
}

/**
 * Returns the value of a chip's marking: two or three digits and a power of ten (`334`, `4992`), or
 * an R as the point (`R010`).
 */
function readChip(marking: string): CodeResult {
  const digits = /^(\d{2,3})(\d)$/.exec(marking);
  if (digits !== null) {
    const ohm = Number(digits[1]) * 10 ** Number(digits[2]);
    return { ok: true, resistor: { ohm, tolerancePct: null, ppmPerK: null, read: 'digits' } };
  }
  const marked = readLetterCode(marking);
  if (marked !== null) return { ok: true, resistor: { ...marked, read: 'letters' } };
  return refuse('value', `a chip is not marked '${marking}'; it has three or four digits, or an R between two`);
}

function fromBands(result: ColourCode): CodeResult {
  return result.ok
    ? { ok: true, resistor: { ...result.resistor, read: 'bands' } }
    : { ok: false, problem: result.problem };
}

function withTolerance(resistor: ResistorCode, percent: string | undefined): CodeResult {
  if (percent === undefined) return { ok: true, resistor };
  const given = Number(percent);
  if (!(given > 0 && given <= 50))
    return refuse('tolerance', `a tolerance of ${percent} % is not one; write 0.1 %, 1 %, 5 %`);
  if (resistor.tolerancePct !== null && resistor.tolerancePct !== given) {
    return refuse(
      'tolerance',
      `the letter says ${resistor.tolerancePct} % and the text ${percent} %; leave one of them out`,
    );
  }
  return { ok: true, resistor: { ...resistor, tolerancePct: given } };
}

/** 4.7e3 and the like without the noise of binary multiplication. */
function tidy(ohm: number): number {
  return Number(ohm.toPrecision(12));
}

function refuse(code: CodeProblem['code'], text: string): CodeResult {
  return { ok: false, problem: { code, text } };
}
