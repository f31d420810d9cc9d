import { readingSd } from './unknown.ts';

/** The same pads on two units, or the pads of two keys. */
export interface PairReading {
  ohm: number;
  u: number;
  isOpen: boolean;
  /** Dry it reads far more than at the normal level. */
  hasFilm: boolean;
}

export interface Difference {
  id: string;
  good: PairReading;
  bad: PairReading;
  /** Of bad over good, and its expanded uncertainty (k = 2) as a factor; null where one reads open. */
  ratio: number | null;
  factor: number | null;
  /** How many standard deviations of the readings lie between; infinite where one reads open or has a film. */
  sigmas: number;
  /** `same`: within the readings' uncertainty. `spread`: more, and no more than good units may differ by. */
  says: 'same' | 'spread' | 'differs';
}

/** Below this many standard deviations two readings are the same. */
const sameSigmas = 3;
/** So far (ln R) good units may differ; common practice, no source. */
const goodSpread = 0.5;

/** Returns the differences of two units, the most telling first. No circuit is needed. */
export function rankDifferences(pairs: readonly { id: string; good: PairReading; bad: PairReading }[]): Difference[] {
  return pairs.map(difference).sort((a, b) => rank(a) - rank(b) || Math.abs(b.sigmas) - Math.abs(a.sigmas));
}

function rank({ says }: Difference): number {
  return ['differs', 'spread', 'same'].indexOf(says);
}

function difference(pair: { id: string; good: PairReading; bad: PairReading }): Difference {
  const { good, bad } = pair;
  const isOther = good.isOpen !== bad.isOpen || good.hasFilm !== bad.hasFilm;
  if (good.isOpen || bad.isOpen) {
    const sigmas = isOther ? Number.POSITIVE_INFINITY : 0;
    return { ...pair, ratio: null, factor: null, sigmas, says: isOther ? 'differs' : 'same' };
  }
  // what reads below a milliohm is the seat of the tips
  const [a, b] = [Math.max(good.ohm, 1e-3), Math.max(bad.ohm, 1e-3)];
  const sd = Math.hypot(readingSd(a, good.u), readingSd(b, bad.u));
  const log = Math.log(b / a);
  const sigmas = isOther ? Number.POSITIVE_INFINITY : log / sd;
  const says = Math.abs(sigmas) < sameSigmas ? 'same' : isOther || Math.abs(log) > goodSpread ? 'differs' : 'spread';
  return { ...pair, ratio: b / a, factor: Math.exp(2 * sd), sigmas, says };
}
