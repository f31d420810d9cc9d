import { normalQuantile } from '../statistics/distributions/distribution.ts';

/** A share with its interval, each 0..1. */
export interface ShareInterval {
  share: number;
  low: number;
  high: number;
}

/**
 * Returns a share and its interval of some confidence by the score test (E. B. Wilson, J. Am. Stat.
 * Assoc. 22 (1927) 209; NIST/SEMATECH e-Handbook 7.2.4.1); of nothing at all the whole range.
 */
export function shareInterval(count: number, of: number, confidence = 0.95): ShareInterval {
  if (!(of > 0)) return { share: 0, low: 0, high: 1 };
  const share = Math.min(1, count / of);
  const z = normalQuantile((1 + confidence) / 2);
  const spread = z * Math.sqrt((share * (1 - share)) / of + (z * z) / (4 * of * of));
  const centre = share + (z * z) / (2 * of);
  const scale = 1 + (z * z) / of;
  return { share, low: Math.max(0, (centre - spread) / scale), high: Math.min(1, (centre + spread) / scale) };
}
