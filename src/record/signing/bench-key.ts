import {
  createHmac,
  createPrivateKey,
  createPublicKey,
  generateKeyPairSync,
  hash,
  type KeyObject,
  sign,
  verify,
} from 'node:crypto';
import { dirname } from 'node:path';
import { z } from 'zod';
import { errnoOf } from '../../errors/errno.ts';
import { FileError } from '../../files/file-error.ts';
import { makePrivateFolder } from '../../files/folder.ts';
import { readForeignFileSync } from '../../files/read-file.ts';
import { writeOutput } from '../../files/write-output.ts';
import { type Succession, successionSchema } from '../entries/succession-part.ts';
import { diskError, recordError } from '../store/record-error.ts';

/**
 * The Ed25519 key of a bench (RFC 8032): signs the ends of its records. The private half never
 * leaves its file.
 */
export interface BenchKey {
  /** The 32 bytes of the public key (RFC 8032, 5.1.5), in base64. */
  publicKey: string;
  fingerprint: string;
  /** How earlier keys of the bench have led to this one, oldest first. */
  succession: readonly Succession[];
  /** Returns the 64 bytes of a signature, in base64. */
  sign(message: Uint8Array): string;
}

const rawLength = 32;
/** What stands before the 32 bytes in a SubjectPublicKeyInfo of Ed25519 (RFC 8410, 4). */
const spkiHead = Buffer.from('302a300506032b6570032100', 'hex');
/** Bits of a file's mode that let others than its owner at it. */
const othersBits = 0o077;

/**
 * Returns the key in a file, which is made with a new key when there is none: readable for its
 * owner alone (mode 0600).
 *
 * @throws OhmwrightError `key.open-to-others`, `key.form`, `record.disk`
 */
export function openBenchKey(path: string): BenchKey {
  const { bytes, mode } = readOrMake(path);
  refuseIfOpen(path, mode);
  return benchKeyOf(privateKeyOf(bytes.toString('utf8'), path), readSuccession(path));
}

/** Returns where the statements lie by which earlier keys led to the one in a file. */
export function successionPath(keyPath: string): string {
  return `${keyPath}.succession.json`;
}

/** Returns these statements; none where there is no such file. @throws OhmwrightError `key.form` */
export function readSuccession(keyPath: string): Succession[] {
  const path = successionPath(keyPath);
  let text: string;
  try {
    text = readForeignFileSync(path, 'key').bytes.toString('utf8');
  } catch (error) {
    if (errnoOf(error) === 'ENOENT') return [];
    throw diskError('read', path, error);
  }
  const statements = parseSuccession(text);
  if (statements !== null) return statements;
  const help =
    'Put it back from a copy; without it records by the earlier keys of this bench can not be told as its own.';
  throw recordError('key.form', `${path} does not hold the succession of the bench's keys`, help);
}

/** Returns statements of succession as they stand in a file; null when the text is none. */
export function parseSuccession(text: string): Succession[] | null {
  try {
    return z.array(successionSchema).parse(JSON.parse(text));
  } catch {
    return null;
  }
}

function readOrMake(path: string): { bytes: Buffer; mode: number } {
  try {
    return readForeignFileSync(path, 'key');
  } catch (error) {
    if (errnoOf(error) !== 'ENOENT') throw diskError('read', path, error);
  }
  makeKeyFile(path);
  try {
    return readForeignFileSync(path, 'key');
  } catch (error) {
    throw diskError('read', path, error);
  }
}

/**
 * Returns a secret for what only this user may have made, drawn from the key in a file; null when
 * there is no such file.
 */
export function benchSecret(path: string): Uint8Array | null {
  try {
    return createHmac('sha256', readForeignFileSync(path, 'key').bytes).update('ohmwright jobs index').digest();
  } catch {
    return null;
  }
}

/** Returns a private key ready to sign. */
export function benchKeyOf(privateKey: KeyObject, succession: readonly Succession[] = []): BenchKey {
  const publicKey = rawPublicKey(createPublicKey(privateKey));
  return {
    publicKey: publicKey.toString('base64'),
    succession,
    fingerprint: fingerprintOf(publicKey),
    sign: (message) => sign(null, message, privateKey).toString('base64'),
  };
}

/**
 * Returns whether a signature in base64 is that of a message under a public key in base64; a key or
 * signature of another form is not.
 */
export function isSignedBy(publicKey: string, message: Uint8Array, signature: string): boolean {
  const raw = Buffer.from(publicKey, 'base64');
  if (raw.length !== rawLength) return false;
  try {
    return verify(null, message, keyFromRaw(raw), Buffer.from(signature, 'base64'));
  } catch {
    // a point that is not on the curve
    return false;
  }
}

/**
 * Returns what people compare a public key by: SHA-256 of its 32 bytes, the first 16 of them in
 * groups of four hexadecimal digits.
 */
export function fingerprintOf(publicKey: Uint8Array | string): string {
  const raw = typeof publicKey === 'string' ? Buffer.from(publicKey, 'base64') : publicKey;
  return hash('sha256', raw, 'hex')
    .slice(0, 32)
    .replace(/.{4}(?=.)/g, '$& ');
}

/** Returns a public key as PEM (SubjectPublicKeyInfo, RFC 8410), which other programs read. */
export function publicPem(publicKey: string): string {
  return keyFromRaw(Buffer.from(publicKey, 'base64')).export({ type: 'spki', format: 'pem' }).toString();
}

/** Returns the public key in base64 that a PEM text holds; null when it holds no Ed25519 key. */
export function publicKeyOfPem(pem: string): string | null {
  try {
    const key = createPublicKey(pem);
    return key.asymmetricKeyType === 'ed25519' ? rawPublicKey(key).toString('base64') : null;
  } catch {
    return null;
  }
}

/** Makes a file with a new key. @throws OhmwrightError `record.disk` */
export function makeKeyFile(path: string): void {
  const pem = generateKeyPairSync('ed25519').privateKey.export({ type: 'pkcs8', format: 'pem' }).toString();
  try {
    makePrivateFolder(dirname(path));
    writeOutput(path, pem, { isPrivate: true });
  } catch (error) {
    // of two benches that begin at once, one makes the key and the other reads it
    if (error instanceof FileError && error.code === 'output.exists') return;
    throw diskError('make the bench key', path, error instanceof FileError ? (error.cause ?? error) : error);
  }
}

function refuseIfOpen(path: string, mode: number): void {
  // Windows has no such bits
  if (process.platform === 'win32') return;
  if ((mode & othersBits) === 0) return;
  const shown = (mode & 0o777).toString(8).padStart(3, '0');
  const message = `the bench key ${path} may be used by others than its owner (mode ${shown})`;
  throw recordError('key.open-to-others', message, `Make it private with: chmod 600 ${path}`);
}

function privateKeyOf(pem: string, path: string): KeyObject {
  try {
    const key = createPrivateKey(pem);
    if (key.asymmetricKeyType === 'ed25519') return key;
  } catch {
    // told below
  }
  const help = 'Put the right file there, or move it away: a new key is made on the next use.';
  throw recordError('key.form', `${path} does not hold an Ed25519 private key`, help);
}

function rawPublicKey(key: KeyObject): Buffer {
  return key.export({ type: 'spki', format: 'der' }).subarray(spkiHead.length);
}

function keyFromRaw(raw: Uint8Array): KeyObject {
  return createPublicKey({ key: Buffer.concat([spkiHead, raw]), format: 'der', type: 'spki' });
}
