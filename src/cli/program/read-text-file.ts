import { readFile } from 'node:fs/promises';

/** Returns the text of a file. @throws the system's error, with the path also where the system leaves it out (a folder) */
export async function readTextFile(path: string): Promise<string> {
  try {
    return await readFile(path, 'utf8');
  } catch (error) {
    throw Object.assign(error as Error, { path });
  }
}
