import { join } from 'node:path';
import { z } from 'zod';
import { writeOutput } from '../files/write-output.ts';
import { type Disk, syncDir } from '../record/store/disk.ts';

const stateSchema = z.strictObject({
  /** In which boot of the host it was opened; null: the host does not say. */
  boot: z.string().nullable(),
  /** It was closed, and what is in it was synced. */
  closed: z.boolean(),
  /** Every record of the folder is in it. */
  whole: z.boolean(),
  engine: z.enum(['embedded', 'server']),
});
export type DatabaseState = z.infer<typeof stateSchema>;

const stateName = 'database.json';

/** Returns what was left of how the database stood; null: nothing, or nothing that can be read. */
export async function readState(disk: Disk, folder: string): Promise<DatabaseState | null> {
  try {
    return stateSchema.parse(JSON.parse((await disk.read(join(folder, stateName), 'lock')).toString('utf8')));
  } catch {
    return null;
  }
}

export function writeState(folder: string, state: DatabaseState): void {
  writeOutput(join(folder, stateName), `${JSON.stringify(state)}\n`, { force: true });
}

/**
 * Returns whether the database may be used as it lies there: it was closed and synced, or only its
 * process died and the host still has what it wrote.
 */
export function isDatabaseSound(
  state: DatabaseState | null,
  boot: string | null,
  engine: DatabaseState['engine'],
): boolean {
  if (state === null || !state.whole || state.engine !== engine) return false;
  return engine === 'server' || state.closed || (boot !== null && state.boot === boot);
}

/** Syncs every file and folder of a folder. */
export async function syncTree(disk: Disk, folder: string): Promise<void> {
  for (const name of await disk.list(folder)) {
    const path = join(folder, name);
    const isFolder = await disk.list(path).then(
      () => true,
      () => false,
    );
    if (isFolder) await syncTree(disk, path);
    else {
      const file = await disk.open(path, 'r');
      await file.sync().finally(() => file.close());
    }
  }
  await syncDir(disk, folder);
}
