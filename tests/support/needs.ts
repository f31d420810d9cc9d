/**
 * Returns why tests are skipped that can't be run on this machine (as root everything may be opened, say), or null when
 * they apply. Prints the reason. For tools that could be installed there is `missingTool`, which fails under CI.
 */
export function notApplicable(applies: boolean, what: string, consequence: string): string | null {
  if (applies) return null;
  const why = `${what}: ${consequence}`;
  console.warn(why);
  return why;
}
