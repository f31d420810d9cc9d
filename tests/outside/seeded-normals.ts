/** Returns a source of numbers in 0..1 by Park and Miller's generator (Comm. ACM 31 (1988) 1192), the same for the same seed. */
export function uniforms(seed: number): () => number {
  let state = (seed % 2_147_483_646) + 1;
  for (let i = 0; i < 10; i++) state = (state * 16_807) % 2_147_483_647;
  return () => {
    state = (state * 16_807) % 2_147_483_647;
    return state / 2_147_483_647;
  };
}

/** Returns a source of standard normal numbers by Box and Muller's transformation (Ann. Math. Stat. 29 (1958) 610). */
export function normals(seed: number): () => number {
  const next = uniforms(seed);
  return () => Math.sqrt(-2 * Math.log(next())) * Math.cos(2 * Math.PI * next());
}
