import { existsSync } from 'node:fs';
import { fileURLToPath } from 'node:url';

/** From the sources, and from what they are built into. */
const folders = ['../../../examples/', '../../../../examples/'].map((path) =>
  fileURLToPath(new URL(path, import.meta.url)),
);

/**
 * Returns the path of a file in `examples/`, wherever the program was started and whether it was
 * built.
 */
export function exampleFile(name: string): string {
  return `${folders.find((folder) => existsSync(folder)) ?? folders[0]}${name}`;
}
