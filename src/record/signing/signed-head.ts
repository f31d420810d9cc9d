import type { EntryOf, NewEntry } from '../entries/entries.ts';
import { type BenchKey, fingerprintOf, isSignedBy } from './bench-key.ts';

/** Said before what is signed, so that a signature made here can be taken for nothing else. */
const purpose = 'ohmwright record 1';

/**
 * Returns the bytes that a bench signs when it closes a job: the purpose, the job's id, and the hash of the closing entry, a line
 * each, as UTF-8. Through the chain the hash covers every entry before it.
 */
export function signedMessage(job: string, headSha256: string): Buffer {
  return Buffer.from(`${purpose}\n${job}\n${headSha256}\n`);
}

/** Returns the entry that signs a chain whose last entry closed the job. */
export function signedEntry(job: string, headSha256: string, key: BenchKey): Extract<NewEntry, { kind: 'signed' }> {
  return { kind: 'signed', publicKey: key.publicKey, signature: key.sign(signedMessage(job, headSha256)) };
}

/** What a record's signature comes to. `none`: it has none; `other-key`: it holds, but another key was expected. */
export interface SignatureReport {
  state: 'none' | 'holds' | 'broken' | 'other-key';
  publicKey: string | null;
  fingerprint: string | null;
}

export const noSignature: SignatureReport = { state: 'none', publicKey: null, fingerprint: null };

/** Returns whether a signed entry signs the entry before it; `expectedKey`: the public key in base64 that it has to be made with. */
export function checkSignature(entry: EntryOf<'signed'>, job: string | null, expectedKey?: string): SignatureReport {
  const { publicKey, signature, prev } = entry;
  const holds = isSignedBy(publicKey, signedMessage(job ?? '', prev), signature);
  const isOther = expectedKey !== undefined && expectedKey !== publicKey;
  return {
    state: holds ? (isOther ? 'other-key' : 'holds') : 'broken',
    publicKey,
    fingerprint: fingerprintOf(publicKey),
  };
}
