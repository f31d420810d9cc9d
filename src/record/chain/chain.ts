import { isUtf8 } from 'node:buffer';
import type { z } from 'zod';
import { type Entry, entrySchema, type NewEntry, recordFormat } from '../entries/entries.ts';
import { falseField, type PersonalData, personalDataSchema } from '../entries/personal-data.ts';
import { canonicalJson, isCanonicalJson } from './canonical.ts';
import { sha256 } from './sha256.ts';

export { sha256 };

/** What the first entry has in place of the hash of an entry before it. */
export const firstPrev = '0'.repeat(64);

const apartHead = Buffer.from('{"apart":');
const head = Buffer.from('{"body":');
const middle = Buffer.from(',"sha256":"');
const tail = Buffer.from('"}');
const hashLength = 64;
const frameLength = head.length + middle.length + hashLength + tail.length;

/** Where an entry stands in its chain, and when the host says it was made. */
export interface ChainPlace {
  prev: string;
  n: number;
  at: string;
}

/**
 * An entry as it stands in the file: `line` holds the newline; `sha256` is over the raw bytes of
 * the body.
 */
export interface SealedEntry {
  entry: Entry;
  sha256: string;
  line: Buffer;
}

/** Why a line is not an entry. `code` is stable. */
export interface LineFault {
  code:
    | 'line.layout'
    | 'line.apart'
    | 'line.hash'
    | 'line.text'
    | 'line.canonical'
    | 'entry.format'
    | 'entry.kind'
    | 'entry.schema';
  what: string;
}

/**
 * Returns the line that adds an entry to a chain, `{"body":BODY,"sha256":"HASH"}` and a newline:
 * BODY is the canonical JSON (RFC 8785) of the entry with its place in the chain, HASH is over
 * BODY's bytes as they stand. So a verifier cuts the body out of the line and hashes it without
 * parsing, and the last entry is covered like any other.
 *
 * `apart`: words that the entry commits to. They stand first in the line,
 * `{"apart":APART,"body":...`, outside the hash, so that they can be taken away later and the chain
 * still holds.
 */
export function sealEntry(
  entry: NewEntry,
  place: ChainPlace,
  apart: PersonalData = {},
): ({ ok: true } & SealedEntry) | { ok: false; what: string } {
  const checked = entrySchema.safeParse({ ...entry, ...place });
  if (!checked.success) return { ok: false, what: firstIssue(checked.error) };
  const body = canonicalJson(checked.data);
  const hash = sha256(body);
  // from the text, so that the caller holds what a reader will read
  const sealed = JSON.parse(body) as Entry;
  const whyNot = whyNotPersonal(sealed, apart);
  if (whyNot !== null) return { ok: false, what: whyNot };
  const before = Object.keys(apart).length === 0 ? head : `${apartHead}${canonicalJson(apart)},${head.subarray(1)}`;
  return { ok: true, entry: sealed, sha256: hash, line: Buffer.from(`${before}${body}${middle}${hash}${tail}\n`) };
}

/**
 * An entry taken out of its line; `apart`: the words that it commits to, as far as they are still
 * there.
 */
export interface OpenedLine {
  entry: Entry;
  sha256: string;
  apart: PersonalData;
}

/**
 * Returns the entry of one line (without its newline), or the first reason why it is none. Never
 * throws.
 */
export function openLine(line: Uint8Array): ({ ok: true } & OpenedLine) | ({ ok: false } & LineFault) {
  const whole = Buffer.from(line.buffer, line.byteOffset, line.byteLength);
  if (!whole.subarray(0, apartHead.length).equals(apartHead)) return openPlainLine(whole);
  const split = splitPersonalData(whole);
  if (split === null) return fault('line.apart', 'what stands apart from the body is not in its form');
  const opened = openPlainLine(split.plain);
  if (!opened.ok) return opened;
  const whyNot = whyNotPersonal(opened.entry, split.apart);
  return whyNot === null ? { ...opened, apart: split.apart } : fault('line.apart', whyNot);
}

/**
 * Returns a line without what stands apart in it; any other line as it is. The chain holds as
 * before.
 */
export function withoutPersonalData(line: Uint8Array): Uint8Array {
  const opened = openLine(line);
  if (!opened.ok || Object.keys(opened.apart).length === 0) return line;
  return splitPersonalData(Buffer.from(line))!.plain;
}

/** The whole line is canonical JSON, so what it is made of gives the same bytes again. */
function splitPersonalData(line: Buffer): { plain: Buffer; apart: PersonalData } | null {
  const text = decodeUtf8(line);
  if (text === null) return null;
  try {
    const value = JSON.parse(text) as { apart: unknown; body: unknown; sha256: unknown };
    const apart = personalDataSchema.safeParse(value.apart);
    // exactly these members: nothing may stand outside both the hash and the commitments
    if (!apart.success || Object.keys(apart.data).length === 0) return null;
    if (Object.keys(value).sort().join() !== 'apart,body,sha256' || !isCanonicalJson(value, text)) return null;
    return { plain: Buffer.from(canonicalJson({ body: value.body, sha256: value.sha256 })), apart: apart.data };
  } catch {
    return null;
  }
}

function whyNotPersonal(entry: Entry, apart: PersonalData): string | null {
  if (Object.keys(apart).length === 0) return null;
  if (entry.kind !== 'customer') return `nothing may stand apart from an entry '${entry.kind}'`;
  const field = falseField(apart, entry.commitments);
  return field === null ? null : `the customer's ${field} is not the one that the record is committed to`;
}

function openPlainLine(line: Buffer): ({ ok: true } & OpenedLine) | ({ ok: false } & LineFault) {
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
  if (!isCanonicalJson(value, text)) return fault('line.canonical', 'the body is not in canonical form (RFC 8785)');
  const checked = entrySchema.safeParse(value);
  if (checked.success) return { ok: true, entry: checked.data, sha256: hash, apart: {} };
  const format = newerFormat(value);
  if (format !== null)
    return fault('entry.format', `the record has the format ${format}, which this version does not know`);
  const unknownKind = checked.error.issues.some((issue) => issue.code === 'invalid_union');
  if (unknownKind && checked.error.issues[0]?.path[0] === 'kind') {
    return fault(
      'entry.kind',
      'an entry of a kind that this version does not know; a newer version may have written it',
    );
  }
  return fault('entry.schema', `the entry does not have the form of its kind: ${firstIssue(checked.error)}`);
}

/** The format that an opening names, when it is none that this version reads; else null. */
function newerFormat(value: unknown): number | null {
  const { kind, format } = Object(value) as { kind?: unknown; format?: unknown };
  return kind === 'opened' && Number.isInteger(format) && (format as number) > recordFormat ? (format as number) : null;
}

/**
 * Returns the body of a line (without its newline) and the hash beside it, unchecked; null when it
 * is laid out otherwise.
 */
export function splitLine(bytes: Buffer): { body: Buffer; sha256: string } | null {
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
  return isUtf8(bytes) ? Buffer.from(bytes.buffer, bytes.byteOffset, bytes.byteLength).toString('utf8') : null;
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
