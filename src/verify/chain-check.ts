import { firstPrev, splitLine, withoutPersonalData } from '../record/chain/chain.ts';
import { sha256 } from '../record/chain/sha256.ts';

/** What the bare chain of a record comes to. */
export interface ChainReport {
  /** Every line is whole, has its hash, and follows the one before. */
  ok: boolean;
  lines: number;
  /** First line that does not hold, from 1; null when all do. */
  badLine: number | null;
  /** Hash of the last line that holds. */
  head: string | null;
}

const newline = 0x0a;
const apartMark = '{"apart"'.charCodeAt(2);
const prevMark = Buffer.from(',"prev":"');
const hashLength = 64;

/**
 * Returns whether the lines of a record have their hashes and follow one another. Nothing is
 * parsed: it says nothing about the entries themselves, but holds for entries of any kind and
 * version.
 *
 * In canonical JSON a quotation mark inside a text has a backslash before it, so `,"prev":"` is
 * that member and no text.
 */
export function checkChain(bytes: Buffer): ChainReport {
  const report: ChainReport = { ok: false, lines: 0, badLine: null, head: null };
  let prev = firstPrev;
  for (let offset = 0; offset < bytes.length; ) {
    const end = bytes.indexOf(newline, offset);
    const line = end === -1 ? null : lineFrom(bytes.subarray(offset, end));
    const hash = line === null ? null : hashIfFollowing(line, prev);
    if (hash === null) return { ...report, badLine: report.lines + 1 };
    report.lines += 1;
    report.head = hash;
    prev = hash;
    offset = end + 1;
  }
  return { ...report, ok: report.lines > 0 };
}

function lineFrom(raw: Buffer): Buffer {
  return raw[2] === apartMark ? Buffer.from(withoutPersonalData(raw)) : raw;
}

function hashIfFollowing(line: Buffer, prev: string): string | null {
  const parts = splitLine(line);
  if (parts === null || sha256(parts.body) !== parts.sha256) return null;
  const at = parts.body.indexOf(prevMark);
  if (at === -1) return null;
  const start = at + prevMark.length;
  return parts.body.toString('latin1', start, start + hashLength) === prev ? parts.sha256 : null;
}
