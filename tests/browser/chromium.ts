import { spawnSync } from 'node:child_process';
import { missingTool } from '../support/needs.ts';

const names = ['chromium', 'chromium-browser', 'google-chrome'];
const found = names
  .map((name) => spawnSync('sh', ['-c', `command -v ${name}`], { encoding: 'utf8' }).stdout.trim())
  .find((path) => path !== '');

/** Path of the browser that the machine has; null when there is none. */
export const browserPath = found ?? null;

/** Returns why tests in a browser must be skipped, or null when there is one. */
export function missingBrowser(): string | null {
  return missingTool(browserPath !== null, 'Chromium', 'tests of the report in a browser are skipped');
}
