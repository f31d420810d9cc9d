import type { CodeProblem } from './resistor-code.ts';

interface Colour {
  /** Other ways to write it: the two letters of IEC 60757, and British or American spelling. */
  also: readonly string[];
  digit: number | null;
  /** Power of ten. */
  multiplier: number | null;
  tolerancePct: number | null;
  ppmPerK: number | null;
}

const colour = (
  also: readonly string[],
  digit: number | null,
  multiplier: number | null,
  tolerancePct: number | null,
  ppmPerK: number | null,
): Colour => ({ also, digit, multiplier, tolerancePct, ppmPerK });

/**
 * IEC 60062:2016 with its amendment of 2019: digit, multiplier, tolerance in percent and
 * temperature coefficient of each colour.
 */
export const colours: Readonly<Record<string, Colour>> = {
  pink: colour(['pk'], null, -3, null, null),
  silver: colour(['sr'], null, -2, 10, null),
  gold: colour(['gd'], null, -1, 5, null),
  black: colour(['bk'], 0, 0, null, 250),
  brown: colour(['bn'], 1, 1, 1, 100),
  red: colour(['rd'], 2, 2, 2, 50),
  orange: colour(['og'], 3, 3, 0.05, 15),
  yellow: colour(['ye'], 4, 4, 0.02, 25),
  green: colour(['gn'], 5, 5, 0.5, 20),
  blue: colour(['bu'], 6, 6, 0.25, 10),
  violet: colour(['vt', 'purple'], 7, 7, 0.1, 5),
  grey: colour(['gy', 'gray'], 8, 8, 0.01, 1),
  white: colour(['wh'], 9, 9, null, null),
};
/** Three bands have no tolerance band: 20 %. */
const noBandPct = 20;

const names = new Map(
  Object.entries(colours).flatMap(([name, { also }]) => [name, ...also].map((word) => [word, name])),
);

export type ColourCode =
  | { ok: true; resistor: { ohm: number; tolerancePct: number; ppmPerK: number | null } }
  | { ok: false; problem: CodeProblem };

/**
 * Returns the words of a text when they look like colour bands (at least one of them is a colour),
 * else null.
 */
export function colourBands(text: string): string[] | null {
  const words = text
    .toLowerCase()
    .split(/[\s,;/-]+/)
    .filter((word) => word !== '');
  return words.some((word) => names.has(word)) && words.every((word) => /^[a-z]+$/.test(word)) ? words : null;
}

/**
 * Returns value and tolerance of three to six colour bands, the first band first. Three: two
 * digits, multiplier (20 %). Four: and a tolerance. Five: three digits, multiplier, tolerance. Six:
 * and a temperature coefficient in ppm/K.
 */
export function readColourBands(words: readonly string[]): ColourCode {
  const unknown = words.find((word) => !names.has(word));
  if (unknown !== undefined) {
    return refuse('colour', `'${unknown}' is no colour of the code; it has ${Object.keys(colours).join(', ')}`);
  }
  const bands = words.map((word) => colours[names.get(word)!]!);
  if (bands.length < 3 || bands.length > 6) {
    return refuse('bands', `a resistor has three to six bands, not ${bands.length}`);
  }
  const digitCount = bands.length < 5 ? 2 : 3;
  const digits = bands.slice(0, digitCount).map((band) => band.digit);
  const multiplier = bands[digitCount]!.multiplier;
  const toleranceBand = bands[digitCount + 1];
  const tolerancePct = toleranceBand === undefined ? noBandPct : toleranceBand.tolerancePct;
  const temperatureBand = bands[digitCount + 2];
  if (digits.includes(null)) {
    return bands.at(-1)!.digit === null
      ? refuse(
          'bands',
          `${words.slice(0, digitCount).join(', ')}: gold, silver and pink are no digits; look at the bands again`,
        )
      : refuse(
          'backwards',
          'these bands are read from the wrong end: gold or silver never comes first; turn them round',
        );
  }
  if (multiplier === null) return refuse('bands', `'${words[digitCount]}' is no multiplier`);
  if (tolerancePct === null) {
    return refuse('bands', `'${words[digitCount + 1]}' is no tolerance; are the bands read from the wrong end?`);
  }
  if (temperatureBand !== undefined && temperatureBand.ppmPerK === null) {
    return refuse('bands', `'${words[digitCount + 2]}' is no temperature coefficient`);
  }
  const ohm = Number(`${digits.join('')}e${multiplier}`);
  return { ok: true, resistor: { ohm, tolerancePct, ppmPerK: temperatureBand?.ppmPerK ?? null } };
}

function refuse(code: CodeProblem['code'], text: string): ColourCode {
  return { ok: false, problem: { code, text } };
}
