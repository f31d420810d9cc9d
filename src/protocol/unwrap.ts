/**
 * Returns a counter that wraps at `modulus` as one that goes on: the value nearest above `before` less a quarter turn, so that a
 * slightly late value goes back a little instead of forward by almost a whole turn.
 *
 * @param before the last unwrapped value; null begins at the value itself
 */
export function unwrap(value: number, before: number | null, modulus: number): number {
  if (before === null) return value;
  const ahead = (((value - before) % modulus) + modulus) % modulus;
  return ahead < 0.75 * modulus ? before + ahead : before + ahead - modulus;
}
