import { spawnSync } from 'node:child_process';

const names = ['chromium', 'chromium-browser', 'google-chrome'];
const found = names
  .map((name) => spawnSync('sh', ['-c', `command -v ${name}`], { encoding: 'utf8' }).stdout.trim())
  .find((path) => path !== '');

/** Path of the browser that the machine has; null when there is none. */
export const browserPath = found ?? null;

/** Returns why tests in a browser must be skipped, or null when there is one. Under CI a missing browser is an error. */
export function missingBrowser(): string | null {
  if (browserPath !== null) return null;
  const why = "Chromium isn't installed: tests of the report in a browser are skipped";
  if (process.env.CI) throw new Error(why);
  console.warn(why);
  return why;
}
