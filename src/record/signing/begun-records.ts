import { z } from 'zod';
import { errnoOf } from '../../errors/errno.ts';
import { readForeignText } from '../../files/read-file.ts';
import { benchPlaceSchema } from '../entries/bench-place.ts';
import { sha256Hex } from '../entries/entry-parts.ts';

const begunSchema = z.strictObject({
  series: benchPlaceSchema.shape.series,
  number: benchPlaceSchema.shape.number,
  job: z.string(),
  path: z.string(),
  /** Hash of the record's first line. */
  identity: sha256Hex,
});

/** Where a bench began a record (or added to one) that has a number: for its own use, to find it again. */
export type BegunRecord = z.infer<typeof begunSchema>;

/** Returns where this list lies: beside the key. */
export function begunPath(keyPath: string): string {
  return `${keyPath}.records.jsonl`;
}

/** Returns a line of the list. */
export function begunLine(record: BegunRecord): string {
  return `${JSON.stringify(record)}\n`;
}

/** Returns the list; lines that are none are left out, and where there is no list nothing is known. */
export async function readBegun(keyPath: string): Promise<BegunRecord[]> {
  const text = await readForeignText(begunPath(keyPath), 'index of records').catch((error: unknown) => {
    if (errnoOf(error) === 'ENOENT') return '';
    throw error;
  });
  return text.split('\n').flatMap((line) => {
    try {
      return [begunSchema.parse(JSON.parse(line))];
    } catch {
      return [];
    }
  });
}
