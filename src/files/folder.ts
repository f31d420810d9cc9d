import { mkdirSync } from 'node:fs';
import { access, constants, stat } from 'node:fs/promises';
import { dirname, resolve } from 'node:path';
import { errnoOf, errnoWords } from '../errors/errno.ts';

/** Returns whether a path names anything that is there. */
export async function exists(path: string): Promise<boolean> {
  return stat(path).then(
    () => true,
    (error) => errnoOf(error) !== 'ENOENT' && errnoOf(error) !== 'ENOTDIR',
  );
}

/**
 * Returns why a folder can't take a file: it is none, or may neither be written to nor made. Null
 * when it can.
 */
export async function folderProblem(folder: string): Promise<string | null> {
  let at = resolve(folder);
  for (;;) {
    try {
      if (!(await stat(at)).isDirectory()) return `${at} is a file, not a folder`;
      await access(at, constants.W_OK);
      return null;
    } catch (error) {
      if (errnoOf(error) !== 'ENOENT' || at === dirname(at)) return `${at}: ${errnoWords(error)}`;
      at = dirname(at);
    }
  }
}

/**
 * Makes a folder, and those above it, for its owner alone; one that is there stays as it is.
 * @throws the system's error
 */
export function makePrivateFolder(folder: string): void {
  mkdirSync(folder, { recursive: true, mode: 0o700 });
}
