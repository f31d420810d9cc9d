import { hash as digest } from 'node:crypto';
import type { z } from 'zod';
import { canonicalJson } from './canonical.ts';
import { type Entry, entrySchema, type NewEntry } from './entries.ts';

/** What the first entry has in place of the hash of an entry before it. */
export const firstPrev = '0'.repeat(64);

const head = Buffer.from('{"body":');
const middle = Buffer.from(',"sha256":"');
const tail = Buffer.from('"}');
const hashLength = 64;
const frameLength = head.length + middle.length + hashLength + tail.length;

/** An entry as it stands in the file: `line` holds the newline; `sha256` is over the raw bytes of the body. */
export interface SealedEntry {
  entry: Entry;
  sha256: string;
  line: Buffer;
}

/** Why a line is not an entry. `code` is stable. */
export interface LineFault {
  code: 'line.layout' | 'line.hash' | 'line.text' | 'line.canonical' | 'entry.kind' | 'entry.schema';
  what: string;
}

/** Returns the SHA-256 (FIPS 180-4) of bytes or of the UTF-8 of a text, in small hexadecimal digits. */
export function sha256(data: Uint8Array | string): string {
  return digest('sha256', data, 'hex');
}

/**
 * Returns the line that adds an entry to a chain, `{"body":BODY,"sha256":"HASH"}` and a newline: BODY is the canonical
 * JSON (RFC 8785) of the entry with its place in the chain, HASH is over BODY's bytes as they stand. So a verifier cuts
 * the body out of the line and hashes it without parsing, and the last entry is covered like any other.
 */
export function sealEntry(
  entry: NewEntry,
  place: { prev: string; n: number; at: string },
): ({ ok: true } & SealedEntry) | { ok: false; what: string } {
  const checked = entrySchema.safeParse({ ...entry, ...place });
  if (!checked.success) return { ok: false, what: firstIssue(checked.error) };
  const body = canonicalJson(checked.data);
  const hash = sha256(body);
  const line = Buffer.from(`${head}${body}${middle}${hash}${tail}\n`);
  // from the text, so that the caller holds what a reader will read
  return { ok: true, entry: JSON.parse(body) as Entry, sha256: hash, line };
}

/** Returns the entry of one line (without its newline), or the first reason why it is none. Never throws. */
export function openLine(line: Uint8Array): { ok: true; entry: Entry; sha256: string } | ({ ok: false } & LineFault) {
  const parts = splitLine(line);
  if (parts === null) return fault('line.layout', 'the line is not laid out as {"body":...,"sha256":"..."}');
  const hash = sha256(parts.body);
  if (hash !== parts.sha256) return fault('line.hash', 'the body does not have the hash that stands beside it');
  const text = decodeUtf8(parts.body);
  if (text === null) return fault('line.text', 'the body is not UTF-8 text');
  let value: unknown;
  try {
    value = JSON.parse(text);
  } catch (error) {
    return fault('line.text', `the body is not JSON: ${(error as Error).message}`);
  }
  if (!isCanonical(value, text)) return fault('line.canonical', 'the body is not in canonical form (RFC 8785)');
  const checked = entrySchema.safeParse(value);
  if (checked.success) return { ok: true, entry: checked.data, sha256: hash };
  const unknownKind = checked.error.issues.some((issue) => issue.code === 'invalid_union');
  if (unknownKind && checked.error.issues[0]?.path[0] === 'kind') {
    return fault(
      'entry.kind',
      'an entry of a kind that this version does not know; a newer version may have written it',
    );
  }
  return fault('entry.schema', `the entry does not have the form of its kind: ${firstIssue(checked.error)}`);
}

function splitLine(line: Uint8Array): { body: Uint8Array; sha256: string } | null {
  const bytes = Buffer.from(line.buffer, line.byteOffset, line.byteLength);
  if (bytes.length < frameLength) return null;
  const bodyEnd = bytes.length - tail.length - hashLength - middle.length;
  const hashStart = bodyEnd + middle.length;
  const whole =
    bytes.subarray(0, head.length).equals(head) &&
    bytes.subarray(bodyEnd, hashStart).equals(middle) &&
    bytes.subarray(hashStart + hashLength).equals(tail);
  if (!whole) return null;
  return {
    body: bytes.subarray(head.length, bodyEnd),
    sha256: bytes.subarray(hashStart, hashStart + hashLength).toString('latin1'),
  };
}

function decodeUtf8(bytes: Uint8Array): string | null {
  try {
    return new TextDecoder('utf-8', { fatal: true, ignoreBOM: true }).decode(bytes);
  } catch {
    return null;
  }
}

function isCanonical(value: unknown, text: string): boolean {
  try {
    return canonicalJson(value) === text;
  } catch {
    return false;
  }
}

function fault(code: LineFault['code'], what: string): { ok: false } & LineFault {
  return { ok: false, code, what };
}

function firstIssue(error: z.ZodError): string {
  const issue = error.issues[0];
  if (issue === undefined) return 'unknown';
  const path = issue.path.map(String).join('.');
  return path === '' ? issue.message : `${path}: ${issue.message}`;
}
