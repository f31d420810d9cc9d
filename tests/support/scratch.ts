import { mkdtempSync } from 'node:fs';
import { rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';

/** The guide of tests that run whole jobs. */
export const shortGuide = fileURLToPath(new URL('../fixtures/short-guide.yaml', import.meta.url));

const folders: string[] = [];

/** Returns a new folder that is removed when the tests of the file are over. */
export function scratch(): string {
  const folder = mkdtempSync(join(tmpdir(), 'ohmwright-test-'));
  folders.push(folder);
  return folder;
}

/** Removes every folder that was handed out. */
export async function removeScratch(): Promise<void> {
  const left = folders.splice(0);
  await Promise.all(left.map((folder) => rm(folder, { recursive: true, force: true, maxRetries: 5 })));
}
