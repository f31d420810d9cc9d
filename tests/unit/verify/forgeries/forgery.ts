import { canonicalJson } from '../../../../src/record/chain/canonical.ts';
import { forgery, type RawEntry, rawEntries } from '../forged.ts';

/** A record that somebody changed to their gain, and what they made anew around it. */
export interface Forgery {
  record: string;
  what: string;
  bytes: Buffer;
  /** What the one who checks holds in hand beside the record. */
  holds?: { expectedKey?: string; label?: { job: string; sha256: string; entries: number | null } };
}

/** A kept record, by name. */
export interface Kept {
  name: string;
  bytes: Buffer;
}

type Value = Record<string | number, unknown>;
export type Path = readonly (string | number)[];

export function valueAt(entry: RawEntry, path: Path): unknown {
  return path.reduce<unknown>((inside, key) => (Object(inside) as Value)[key], entry);
}

/** Returns an entry with another value at a place; null when it has no such place, or the value stands there already. */
function withValue(entry: RawEntry, path: Path, value: unknown): RawEntry | null {
  const copy = structuredClone(entry);
  const owner = valueAt(copy, path.slice(0, -1));
  const key = path.at(-1)!;
  if (typeof owner !== 'object' || owner === null || !(key in owner)) return null;
  if (canonicalJson((owner as Value)[key] ?? null) === canonicalJson(value ?? null)) return null;
  (owner as Value)[key] = value;
  return copy;
}

/** Returns a record with one entry in the place of another, the chain made anew. */
export function withEntry({ name, bytes }: Kept, at: number, entry: RawEntry, what: string): Forgery {
  // an addendum stands behind a signature, and every signature goes
  const before = rawEntries(bytes).slice(0, at);
  const place = before.filter(({ kind }) => kind !== 'signed').length;
  const forged = forgery(bytes, (entries) => entries.with(place, entry));
  return { record: name, what: `${entry.kind} in line ${at + 1}: ${what}`, bytes: forged };
}

/** A change of one value of the entries of some kinds: `to` gets what stands there. */
export interface Change {
  kinds: readonly string[];
  path: Path;
  to(now: unknown, entry: RawEntry): unknown;
}

/** Returns a forgery for each change of each entry of a record that has such a place. */
export function changesOf(kept: Kept, changes: readonly Change[]): Forgery[] {
  const entries = rawEntries(kept.bytes);
  return entries.flatMap((entry, at) =>
    changes.flatMap(({ kinds, path, to }) => {
      if (!kinds.includes(entry.kind)) return [];
      const changed = withValue(entry, path, to(valueAt(entry, path), entry));
      return changed === null ? [] : [withEntry(kept, at, changed, path.join('.'))];
    }),
  );
}
