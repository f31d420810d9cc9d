import { createHash } from 'node:crypto';
import { dirname } from 'node:path';
import { z } from 'zod';
import type { Terminal } from '../../faces/screen/terminal/terminal.ts';
import { makePrivateFolder } from '../../files/folder.ts';
import { readForeignText } from '../../files/read-file.ts';
import { writeOutput } from '../../files/write-output.ts';
import { localClock } from '../places/local-time.ts';
import { dayFilePath } from '../places/locations.ts';

const daySchema = z.strictObject({
  day: z.string(),
  technician: z.string().nullable(),
  /** By whom and what: SHA-256 of technician and text. */
  cautions: z.array(z.string()),
});

/** What a bench remembers until the clock here begins another day. */
export type BenchDay = z.infer<typeof daySchema>;

/** Returns what was told at this bench today; a file that can't be used tells nothing. */
export async function readDay(terminal: Pick<Terminal, 'env' | 'cwd' | 'now'>): Promise<BenchDay> {
  const today = localClock(terminal).day(terminal.now().toISOString());
  const none: BenchDay = { day: today, technician: null, cautions: [] };
  try {
    const read = daySchema.parse(JSON.parse(await readForeignText(dayFilePath(terminal), 'settings')));
    return read.day === today ? read : none;
  } catch {
    return none;
  }
}

/** Keeps what was told today. Where it can't be kept, it is asked again: no job fails by that. */
export function keepDay(day: BenchDay, terminal: Pick<Terminal, 'env' | 'cwd'>): void {
  const path = dayFilePath(terminal);
  try {
    makePrivateFolder(dirname(path));
    writeOutput(path, `${JSON.stringify(day)}\n`, { force: true, isPrivate: true });
  } catch {
    // it is asked again
  }
}

/** Returns the mark of a caution that a technician has read: another text is another caution. */
export function cautionMark(technician: string, text: string): string {
  return createHash('sha256')
    .update(JSON.stringify([technician, text]))
    .digest('hex');
}
