import { canonicalJson } from '../chain/canonical.ts';
import type { ChainPlace } from '../chain/chain.ts';
import { sha256 } from '../chain/sha256.ts';
import type { EntryOf, NewEntry } from '../entries/entries.ts';
import type { Succession } from '../entries/succession-part.ts';
import { type BenchKey, fingerprintOf, isSignedBy } from './bench-key.ts';
import { leadsTo } from './succession.ts';

/**
 * What a signature stands for: the job, the record's format, and the place of the signing entry in
 * the chain.
 */
export interface Signed {
  job: string;
  format: number;
  place: ChainPlace;
}

/**
 * Returns the bytes that a bench signs when it closes a job, a line each, as UTF-8: a purpose, said
 * so that a signature made here can be taken for nothing else, the job's id, and the hash of the
 * closing entry. Through the chain that covers every entry before it. Since format 2 the number and
 * the time of the signing entry and the key follow, and the digest of what led to that key, if
 * anything did, so that all of it is signed.
 */
function signedMessage({ job, format, place }: Signed, publicKey: string, succession?: readonly Succession[]): Buffer {
  const { prev, n, at } = place;
  const parts = format === 1 ? [job, prev] : [job, prev, String(n), at, publicKey];
  const led = succession === undefined ? [] : [sha256(canonicalJson(succession))];
  return Buffer.from([`ohmwright record ${format}`, ...parts, ...led, ''].join('\n'));
}

/** Returns the entry that signs a chain whose last entry closed the job. */
export function signedEntry(signed: Signed, key: BenchKey): Extract<NewEntry, { kind: 'signed' }> {
  const { publicKey } = key;
  const led = key.succession.length === 0 ? undefined : [...key.succession];
  const signature = key.sign(signedMessage(signed, publicKey, led));
  return { kind: 'signed', publicKey, signature, ...(led === undefined ? {} : { succession: led }) };
}

/**
 * What a record's signature comes to. `none`: it has none; `other-key`: it holds, but another key
 * was expected.
 */
export interface SignatureReport {
  state: 'none' | 'holds' | 'broken' | 'other-key';
  publicKey: string | null;
  fingerprint: string | null;
}

export const noSignature: SignatureReport = { state: 'none', publicKey: null, fingerprint: null };

/**
 * Returns whether a signed entry signs what is before it; `expectedKey`: the public key in base64
 * that it has to be made with, or an earlier or later key of the same bench. `known`: statements of
 * succession from elsewhere than the entry.
 */
export function checkSignature(
  entry: EntryOf<'signed'>,
  { job, format }: Omit<Signed, 'place'>,
  expectedKey?: string,
  known: readonly Succession[] = [],
): SignatureReport {
  const { publicKey, signature, succession } = entry;
  const holds = isSignedBy(publicKey, signedMessage({ job, format, place: entry }, publicKey, succession), signature);
  const led = [...(succession ?? []), ...known];
  const isOther =
    expectedKey !== undefined && !leadsTo(expectedKey, publicKey, led) && !leadsTo(publicKey, expectedKey, known);
  return {
    state: holds ? (isOther ? 'other-key' : 'holds') : 'broken',
    publicKey,
    fingerprint: fingerprintOf(publicKey),
  };
}
