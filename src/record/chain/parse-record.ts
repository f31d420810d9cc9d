import type { Entry } from '../entries/entries.ts';
import type { PersonalData } from '../entries/personal-data.ts';
import { firstPrev, type LineFault, openLine } from './chain.ts';

/** One whole line and the entry in it. `line` counts from 1. */
export interface RecordLine {
  line: number;
  entry: Entry;
  sha256: string;
  /** Words beside the entry's body that it commits to; empty for most. */
  apart: PersonalData;
}

/** Something in the file that is not a whole entry in its place. */
export interface RecordDamage {
  line: number;
  /** Byte at which the line begins. */
  offset: number;
  code: LineFault['code'] | 'chain.prev' | 'chain.number';
  what: string;
}

/**
 * Bytes behind the last whole entry that never became one: what a write that was cut short leaves.
 */
export interface TornTail {
  line: number;
  offset: number;
  bytes: Uint8Array;
  why: string;
}

/**
 * A record taken apart. The lines that are whole up to the first damage are in `lines`; whole ones
 * behind it in `beyond`.
 */
export interface ParsedRecord {
  lines: RecordLine[];
  beyond: RecordLine[];
  damage: RecordDamage[];
  torn: TornTail | null;
  /** The last entry is whole, but the newline behind it is missing. */
  unended: boolean;
  /** Where the last whole line (its newline included, if it has one) ends. */
  wholeBytes: number;
}

const newline = 0x0a;
/** After so many lines that are no entries nobody looks at the rest: it is no record, and may be all newlines. */
const mostDamage = 10_000;

/**
 * Returns the entries of a record and everything that is wrong with its lines. Never throws and
 * repairs nothing.
 *
 * Only the end of a file can be torn: bytes without a newline that are no entry, or a last line
 * with zero bytes in it (a block that never reached the disk). Everything else that is no entry is
 * damage.
 */
export function parseRecord(bytes: Uint8Array): ParsedRecord {
  const parsed: ParsedRecord = { lines: [], beyond: [], damage: [], torn: null, unended: false, wholeBytes: 0 };
  let prev: string | null = firstPrev;
  let offset = 0;
  for (let line = 1; offset < bytes.length && parsed.damage.length < mostDamage; line += 1) {
    const end = bytes.indexOf(newline, offset);
    const ended = end !== -1;
    const next = ended ? end + 1 : bytes.length;
    const raw = bytes.subarray(offset, ended ? end : next);
    const opened = openLine(raw);
    if (!opened.ok) {
      const isLast = next === bytes.length;
      if (isLast && (!ended || raw.includes(0))) {
        parsed.torn = { line, offset, bytes: bytes.subarray(offset), why: tornWhy(ended) };
        return parsed;
      }
      parsed.damage.push({ line, offset, code: opened.code, what: opened.what });
      // the line behind cannot be held against a hash that nobody knows
      prev = null;
    } else {
      const { entry, sha256, apart } = opened;
      const misplaced = outOfPlace(entry, line, prev);
      if (misplaced !== null) parsed.damage.push({ line, offset, ...misplaced });
      (parsed.damage.length === 0 ? parsed.lines : parsed.beyond).push({ line, entry, sha256, apart });
      prev = sha256;
      parsed.unended = !ended;
    }
    parsed.wholeBytes = next;
    offset = next;
  }
  return parsed;
}

function outOfPlace(entry: Entry, line: number, prev: string | null): Pick<RecordDamage, 'code' | 'what'> | null {
  if (prev !== null && entry.prev !== prev) {
    const what =
      line === 1 ? 'the first entry names an entry before it' : 'the entry does not follow the one in the line before';
    return { code: 'chain.prev', what };
  }
  if (entry.n !== line)
    return { code: 'chain.number', what: `the entry has number ${entry.n} and stands in line ${line}` };
  return null;
}

function tornWhy(ended: boolean): string {
  return ended ? 'the last line has zero bytes in it' : 'the last line is cut short';
}
