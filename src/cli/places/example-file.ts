import { existsSync, readdirSync } from 'node:fs';
import { fileURLToPath } from 'node:url';

/** Returns a folder that comes with the program: seen from the sources, or from what they are built into. */
function folderOf(name: string): string {
  const folders = [`../../../${name}/`, `../../../../${name}/`].map((path) =>
    fileURLToPath(new URL(path, import.meta.url)),
  );
  return folders.find((folder) => existsSync(folder)) ?? folders[0]!;
}

/**
 * Returns the path of a file in `examples/`, wherever the program was started and whether it was
 * built.
 */
export function exampleFile(name: string): string {
  return `${folderOf('examples')}${name}`;
}

/** Returns the names of the files in `examples/`, but for its page and what only goes with one of them. */
export function exampleNames(): string[] {
  return readdirSync(folderOf('examples'), { withFileTypes: true })
    .filter((entry) => entry.isFile())
    .map(({ name }) => name)
    .filter((name) => name !== 'README.md' && !name.startsWith('.'))
    .sort();
}

/** Returns the path of the rule that lets the person at the desk open a probe's port on Linux. */
export function udevRuleFile(): string {
  return `${folderOf('firmware-protocol')}70-ohmwright.rules`;
}
