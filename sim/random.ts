/** A stream of random numbers that only its seed decides. */
export interface Random {
  /** Returns a number in [0, 1). */
  uniform(): number;
  /** Returns a number of the normal distribution with mean 0 and standard deviation 1. */
  normal(): number;
  /** Returns a number of the exponential distribution with the given mean. */
  exponential(mean: number): number;
  /** Returns a whole number from `low` to `high`, both possible. */
  integer(low: number, high: number): number;
  /** Returns a number of the normal distribution cut off at `cut` standard deviations. */
  normalWithin(cut: number): number;
}

/**
 * Returns the 32-bit FNV-1a hash of a text (constants from the algorithm's published description,
 * IETF draft-eastlake-fnv).
 */
function hashText(text: string): number {
  let hash = 0x811c9dc5;
  for (let i = 0; i < text.length; i++) hash = Math.imul(hash ^ text.charCodeAt(i), 0x01000193);
  return hash >>> 0;
}

/**
 * Returns the random stream `name` of a seed; streams of different names are independent, so that
 * what one part of the world draws never shifts another.
 *
 * Generator: a 32-bit counter with a mixing function (increment 0x6d2b79f5, two multiply-xorshift
 * rounds), period 2^32, ample for a bench session's draws and of no use for secrets.
 */
export function randomOf(seed: number, name: string): Random {
  let counter = (Math.imul(seed | 0, 0x9e3779b1) ^ hashText(name)) | 0;
  let spare: number | null = null;
  const uniform = (): number => {
    counter = (counter + 0x6d2b79f5) | 0;
    let mixed = Math.imul(counter ^ (counter >>> 15), counter | 1);
    mixed ^= mixed + Math.imul(mixed ^ (mixed >>> 7), mixed | 61);
    return ((mixed ^ (mixed >>> 14)) >>> 0) / 0x1_0000_0000;
  };
  const normal = (): number => {
    if (spare !== null) {
      const kept = spare;
      spare = null;
      return kept;
    }
    // Marsaglia's polar form of Box and Muller
    for (;;) {
      const x = 2 * uniform() - 1;
      const y = 2 * uniform() - 1;
      const square = x * x + y * y;
      if (square >= 1 || square === 0) continue;
      const factor = Math.sqrt((-2 * Math.log(square)) / square);
      spare = y * factor;
      return x * factor;
    }
  };
  return {
    uniform,
    normal,
    exponential: (mean) => -mean * Math.log(1 - uniform()),
    integer: (low, high) => low + Math.floor(uniform() * (high - low + 1)),
    normalWithin: (cut) => {
      for (;;) {
        const drawn = normal();
        if (Math.abs(drawn) <= cut) return drawn;
      }
    },
  };
}
