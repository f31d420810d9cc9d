import { stat } from 'node:fs/promises';
import { join } from 'node:path';
import { realDisk } from '../../record/store/disk.ts';
import { recordEnding } from '../../record/store/job-name.ts';

/** Returns the paths of the records (`*.owjob`) in a folder, by name. @throws the system's error */
export async function recordsOfFolder(dir: string): Promise<string[]> {
  const names = (await realDisk.list(dir)).filter((name) => name.endsWith(recordEnding));
  return names.sort().map((name) => join(dir, name));
}

/**
 * Returns the paths of the records (`*.owjob`) in a folder that were written to last, at most
 * `count`, newest first. @throws the system's error
 */
export async function newestRecords(dir: string, count: number): Promise<string[]> {
  const names = (await realDisk.list(dir)).filter((name) => name.endsWith(recordEnding));
  const files = await Promise.all(
    names.map(async (name) => {
      const path = join(dir, name);
      return { path, changedMs: (await stat(path)).mtimeMs };
    }),
  );
  files.sort((a, b) => b.changedMs - a.changedMs || b.path.localeCompare(a.path));
  return files.slice(0, count).map(({ path }) => path);
}
