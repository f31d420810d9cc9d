import type { CheckKindName } from '../../guide/types.ts';
import type { Entry, EntryKind, EntryOf } from './entries.ts';

/**
 * How an attempt at a check of each kind is called in a stored record. Records keep these names for
 * ever; everywhere else a kind goes by the name that it has in a guide. This is the one place where
 * the two meet.
 */
export const entryKindOf = {
  resistance: 'capture',
  voltage: 'capture',
  look: 'observation',
  presses: 'presses',
  bridge: 'bridge',
  'dry-normal': 'levels',
  steady: 'steady',
} as const satisfies Record<CheckKindName, EntryKind>;

/** The entry that stores an attempt at a check of a kind. */
export type StoredOf<K extends CheckKindName> = EntryOf<(typeof entryKindOf)[K]>;

/** An entry that is an attempt at a check. */
export type AttemptEntry = StoredOf<CheckKindName>;

const attemptKinds: readonly EntryKind[] = Object.values(entryKindOf);

/** Returns whether an entry is an attempt at a check. */
export function isAttempt(entry: Entry): entry is AttemptEntry {
  return attemptKinds.includes(entry.kind);
}

/** Returns the kind of check that an entry is an attempt at. */
export function checkKindOf(entry: AttemptEntry): CheckKindName {
  if (entry.kind === 'capture') return entry.quantity;
  const kinds = Object.keys(entryKindOf) as CheckKindName[];
  return kinds.find((kind) => entryKindOf[kind] === entry.kind)!;
}

/** Something for each kind of check, done with the entry that stores an attempt at it. */
export type ByKind<R, A extends unknown[] = []> = {
  readonly [K in CheckKindName]: (entry: StoredOf<K>, ...more: A) => R;
};

/** Returns what the kind of an attempt's check has for it. */
export function ofKind<R, A extends unknown[]>(table: ByKind<R, A>, entry: AttemptEntry, ...more: A): R {
  return (table[checkKindOf(entry)] as (entry: AttemptEntry, ...more: A) => R)(entry, ...more);
}
