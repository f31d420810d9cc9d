import type { Evidence } from '../../checks/evidence.ts';
import type { CheckKindName } from '../../guide/types.ts';
import type { Entry, EntryKind, EntryOf } from '../entries/entries.ts';
import { storedBridge } from './bridge.ts';
import { storedDryNormal } from './dry-normal.ts';
import { storedLook } from './look.ts';
import { storedPresses } from './presses.ts';
import { storedResistance, storedVoltage } from './reading.ts';
import { storedSteady } from './steady.ts';
import { type Source, type StoredKind, type StoredWindow, windowOf } from './stored-kind.ts';

/**
 * What a record knows of each kind of check. A record has its own older names for entries; this is
 * the one place where a kind's name meets them.
 */
const kinds = {
  resistance: storedResistance,
  voltage: storedVoltage,
  look: storedLook,
  presses: storedPresses,
  bridge: storedBridge,
  'dry-normal': storedDryNormal,
  steady: storedSteady,
} satisfies Record<CheckKindName, { [K in EntryKind]: StoredKind<K> }[EntryKind]>;

type Stored = typeof kinds;
// a kind that is missing above is one error there, not one at each use
type NameOf<K extends CheckKindName> = K extends keyof Stored ? Stored[K]['entry'] : never;
const storedKinds = kinds as unknown as { readonly [K in CheckKindName]: StoredKind<NameOf<K>> };

/** The entry that stores an attempt at a check of a kind. */
export type StoredOf<K extends CheckKindName> = EntryOf<NameOf<K>>;

/** An entry that is an attempt at a check. */
export type AttemptEntry = StoredOf<CheckKindName>;

/** Returns how a record calls an attempt at a check of this kind. */
export function entryKindOf<K extends CheckKindName>(kind: K): NameOf<K> {
  return storedKinds[kind].entry;
}

/** Returns whether an entry is an attempt at a check. */
export function isAttempt(entry: Entry): entry is AttemptEntry {
  return Object.values(storedKinds).some((stored) => stored.entry === entry.kind);
}

/** Returns the kind of check that an entry is an attempt at. */
export function checkKindOf(entry: AttemptEntry): CheckKindName {
  if (entry.kind === 'capture') return entry.quantity;
  const names = Object.keys(storedKinds) as CheckKindName[];
  return names.find((kind) => storedKinds[kind].entry === entry.kind)!;
}

/** Returns what a record knows of attempts of this one's kind. */
export function storedKindOf(entry: AttemptEntry): StoredKind<AttemptEntry['kind']> {
  return storedKinds[checkKindOf(entry)] as unknown as StoredKind<AttemptEntry['kind']>;
}

/** Returns where the raw codes of an entry come from; null for an entry without any. */
export function codeSourceOf(entry: Entry): Source | null {
  if (entry.kind === 'proof') return entry.capture;
  return isAttempt(entry) ? storedKindOf(entry).source(entry) : null;
}

/** Returns every window of raw codes that stands in an entry, in their order. */
export function windowsIn(entry: Entry): StoredWindow[] {
  if (entry.kind === 'proof') return windowOf('resistance', entry.capture);
  return isAttempt(entry) ? storedKindOf(entry).windows(entry) : [];
}

/**
 * Returns what an attempt says about the device; null when it says nothing: no contact, a voltage
 * on the tips, a hand that slipped.
 */
export function evidenceOf(entry: AttemptEntry): Evidence | null {
  if (entry.outcome === 'no-contact' || entry.outcome === 'live') return null;
  return storedKindOf(entry).evidence(entry);
}
