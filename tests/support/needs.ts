/**
 * Returns why tests that need a tool must be skipped, or null when it is there. Prints the reason. Under CI a missing tool is
 * an error, so that a skipped test can't pass for a run one.
 */
export function missingTool(isThere: boolean, tool: string, consequence: string): string | null {
  const why = notApplicable(isThere, `${tool} isn't installed`, consequence);
  if (why !== null && process.env.CI === 'true') throw new Error(why);
  return why;
}

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
