/**
 * Returns why tests that need something must be skipped, or null when `isThere`. Prints the reason. Under CI what is
 * missing is an error, so that a skipped test can't pass for a run one.
 */
export function missing(isThere: boolean, what: string, consequence: string): string | null {
  if (isThere) return null;
  const why = `${what}: ${consequence}`;
  if (process.env.CI) throw new Error(why);
  console.warn(why);
  return why;
}

/** Returns why tests are skipped that no machine of this kind can run (as root everything may be read, say), or null. Prints the reason; it is no error under CI. */
export function notApplicable(applies: boolean, what: string, consequence: string): string | null {
  if (applies) return null;
  const why = `${what}: ${consequence}`;
  console.warn(why);
  return why;
}
