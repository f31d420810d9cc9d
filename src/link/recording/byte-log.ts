import { errnoWords } from '../../errors/errno.ts';
import { type OpenOutput, type OutputOptions, openOutput } from '../../files/write-output.ts';

/**
 * The byte log of a session: the line `ohmwright bytes 1\n`, then records of
 * - kind, one byte: `o` opened (bytes: the port's name), `r` received, `t` sent, `c` closed (bytes:
 *   why)
 * - microseconds since the record before on the host's clock, u32 little-endian
 * - length, u16 little-endian, and that many bytes.
 *
 * A record that is cut off at the end of the file is left out by readers. The first line lets a
 * later version say that it differs.
 */
export const byteLogHeader = 'ohmwright bytes 1\n';
const headBytes = 7;
const mostBytes = 0xffff;
const mostUs = 0xffffffff;

const kinds = { opened: 'o', received: 'r', sent: 't', closed: 'c' } as const;
export type LoggedKind = keyof typeof kinds;

/** One record of a byte log. */
export interface LoggedBytes {
  kind: LoggedKind;
  /** Since the record before, on the host's clock. */
  afterUs: number;
  bytes: Uint8Array;
}

/** Returns the bytes of one record. `bytes`: 65 535 at most. */
export function encodeLogged({ kind, afterUs, bytes }: LoggedBytes): Uint8Array {
  const record = new Uint8Array(headBytes + bytes.length);
  const view = new DataView(record.buffer);
  record[0] = kinds[kind].charCodeAt(0);
  view.setUint32(1, Math.min(mostUs, Math.max(0, Math.round(afterUs))), true);
  view.setUint16(5, bytes.length, true);
  record.set(bytes, headBytes);
  return record;
}

/** Where a byte log goes; tests put a disk of their own in its place. */
interface LogOutput extends OutputOptions {
  open?: typeof openOutput;
}

/**
 * Writes a byte log. Diagnostics, not evidence: it is written, not synced, and a disk that fills up
 * ends the log and not the session; {@link problem} then says so.
 */
export class ByteLog {
  readonly path: string;
  readonly #file: OpenOutput;
  readonly #nowMs: () => number;
  #lastMs: number;
  #problem: string | null = null;

  /**
   * @param nowMs the host's clock; default the process's
   * @throws FileError `output.exists` and others of its kind, when the file can't be made
   */
  constructor(
    path: string,
    nowMs: () => number = () => performance.now(),
    { open = openOutput, ...output }: LogOutput = {},
  ) {
    this.path = path;
    this.#file = open(path, output);
    this.#nowMs = nowMs;
    this.#lastMs = nowMs();
    this.#put(new TextEncoder().encode(byteLogHeader));
  }

  /** Why the log ended before the session, or null. */
  get problem(): string | null {
    return this.#problem;
  }

  opened(path: string): void {
    this.#write('opened', new TextEncoder().encode(path));
  }

  received(bytes: Uint8Array): void {
    this.#write('received', bytes);
  }

  sent(bytes: Uint8Array): void {
    this.#write('sent', bytes);
  }

  closed(why: string): void {
    this.#write('closed', new TextEncoder().encode(why));
  }

  /** Ends the log; what comes later is not kept. */
  close(): void {
    this.#orProblem(() => this.#file.close());
  }

  #write(kind: LoggedKind, bytes: Uint8Array): void {
    for (let at = 0; at < bytes.length; at += mostBytes) {
      const nowMs = this.#nowMs();
      this.#put(
        encodeLogged({ kind, afterUs: (nowMs - this.#lastMs) * 1000, bytes: bytes.subarray(at, at + mostBytes) }),
      );
      this.#lastMs = nowMs;
    }
  }

  #put(bytes: Uint8Array): void {
    if (this.#problem === null) this.#orProblem(() => this.#file.write(bytes));
  }

  #orProblem(act: () => void): void {
    try {
      act();
    } catch (error) {
      this.#problem ??= `the byte log ${this.path} ends early: ${errnoWords(error instanceof Error ? (error.cause ?? error) : error)}`;
    }
  }
}

/**
 * Returns the records of a byte log; a file without the first line is taken as bare bytes that were
 * received.
 */
export function readByteLog(file: Uint8Array): { bare: boolean; records: LoggedBytes[] } {
  const header = new TextEncoder().encode(byteLogHeader);
  const bare = header.some((byte, i) => file[i] !== byte);
  if (bare) return { bare, records: file.length === 0 ? [] : [{ kind: 'received', afterUs: 0, bytes: file }] };
  const view = new DataView(file.buffer, file.byteOffset, file.byteLength);
  const byMark = new Map(Object.entries(kinds).map(([kind, mark]) => [mark.charCodeAt(0), kind as LoggedKind]));
  const records: LoggedBytes[] = [];
  let at = header.length;
  while (at + headBytes <= file.length) {
    const kind = byMark.get(file[at]!);
    const end = at + headBytes + view.getUint16(at + 5, true);
    if (end > file.length || kind === undefined) break;
    records.push({
      kind,
      afterUs: view.getUint32(at + 1, true),
      bytes: new Uint8Array(file.subarray(at + headBytes, end)),
    });
    at = end;
  }
  return { bare, records };
}
