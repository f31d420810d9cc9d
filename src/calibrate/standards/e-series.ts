/** Series of preferred values (IEC 60063) by the count of values in a decade. */
export const seriesNames = ['E3', 'E6', 'E12', 'E24', 'E48', 'E96', 'E192'] as const;
export type SeriesName = (typeof seriesNames)[number];

// up to E24 the values are older than the rule that the finer series follow, and differ from it at
// eight places
const e24 = [10, 11, 12, 13, 15, 16, 18, 20, 22, 24, 27, 30, 33, 36, 39, 43, 47, 51, 56, 62, 68, 75, 82, 91];
/** 100 x 10^(i/192) rounded, but for one value that the standard gives as 920. */
const e192 = Array.from({ length: 192 }, (_, i) => (i === 185 ? 920 : Math.round(100 * 10 ** (i / 192))));
const every = (values: readonly number[], step: number): number[] => values.filter((_, i) => i % step === 0);

/** Values of one decade of each series: two digits up to E24, three from E48 on. */
export const preferredDigits: Readonly<Record<SeriesName, readonly number[]>> = {
  E3: every(e24, 8),
  E6: every(e24, 4),
  E12: every(e24, 2),
  E24: e24,
  E48: every(e192, 4),
  E96: every(e192, 2),
  E192: e192,
};

/**
 * Two values are the same preferred value when they differ by less than this share: writing, not
 * making.
 */
const sameShare = 1e-6;

/**
 * Returns the value of a series nearest to a resistance by ratio, in ohm; NaN for a resistance that
 * is not above 0.
 */
export function nearestPreferred(ohm: number, series: SeriesName): number {
  if (!(ohm > 0) || !Number.isFinite(ohm)) return Number.NaN;
  const digits = preferredDigits[series];
  const decade = Math.floor(Math.log10(ohm));
  const first = Math.log10(digits[0]!);
  let nearest = Number.NaN;
  let least = Number.POSITIVE_INFINITY;
  for (const exponent of [decade - 1, decade, decade + 1]) {
    for (const digit of digits) {
      const candidate = inOhm(digit, exponent - first);
      const distance = Math.abs(Math.log(candidate / ohm));
      if (distance < least) {
        least = distance;
        nearest = candidate;
      }
    }
  }
  return nearest;
}

/** digit x 10^exponent without the last-bit noise of a power below one. */
function inOhm(digit: number, exponent: number): number {
  const whole = Math.round(exponent);
  return whole < 0 ? digit / 10 ** -whole : digit * 10 ** whole;
}

/** Returns whether a value belongs to a series. */
function isPreferred(ohm: number, series: SeriesName): boolean {
  return Math.abs(nearestPreferred(ohm, series) / ohm - 1) < sameShare;
}

/**
 * Returns the series that resistors of a tolerance (in percent) are made in (IEC 60063): E6 at 20
 * %, E12 at 10 %, E24 at 5 %, E48 at 2 %, E96 at 1 %, E192 below.
 */
export function seriesOfTolerance(tolerancePct: number): SeriesName {
  if (tolerancePct >= 20) return 'E6';
  if (tolerancePct >= 10) return 'E12';
  if (tolerancePct >= 5) return 'E24';
  if (tolerancePct >= 2) return 'E48';
  return tolerancePct >= 1 ? 'E96' : 'E192';
}

/**
 * Returns null for a value that is made at a tolerance (every series down to it, and E24 at any),
 * else the preferred values beside it to ask about, the nearest first. `tolerancePct` null: any
 * series will do. Zero (a link) is never asked about.
 */
export function unusualValue(ohm: number, tolerancePct: number | null): { nearestOhm: number[] } | null {
  if (ohm === 0) return null;
  const own = tolerancePct === null ? 'E192' : seriesOfTolerance(tolerancePct);
  if (isPreferred(ohm, own) || isPreferred(ohm, 'E24')) return null;
  const candidates = [nearestPreferred(ohm, own), nearestPreferred(ohm, 'E24')];
  const byNearness = candidates.sort((a, b) => Math.abs(Math.log(a / ohm)) - Math.abs(Math.log(b / ohm)));
  return { nearestOhm: [...new Set(byNearness)] };
}
