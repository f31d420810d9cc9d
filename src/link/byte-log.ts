import { closeSync, openSync, writeSync } from 'node:fs';

/**
 * The byte log of a session: the line `ohmwright bytes 1\n`, then records of one direction byte (`r` received, `t` sent), the
 * microseconds since the record before (u32, little-endian), the length (u16, little-endian) and the bytes. A record that is cut
 * off at the end of the file is left out by readers.
 */
export const byteLogHeader = 'ohmwright bytes 1\n';
const headBytes = 7;
const mostBytes = 0xffff;

/** Writes a byte log. Diagnostics, not evidence: it is written, not synced. */
export class ByteLog {
  readonly #file: number;
  readonly #nowMs: () => number;
  #lastMs: number;

  /** @param nowMs the host's clock; default the process's */
  constructor(path: string, nowMs: () => number = () => performance.now()) {
    this.#file = openSync(path, 'w');
    this.#nowMs = nowMs;
    this.#lastMs = nowMs();
    writeSync(this.#file, byteLogHeader);
  }

  received(bytes: Uint8Array): void {
    this.#write('r', bytes);
  }

  sent(bytes: Uint8Array): void {
    this.#write('t', bytes);
  }

  close(): void {
    closeSync(this.#file);
  }

  #write(direction: 'r' | 't', bytes: Uint8Array): void {
    for (let at = 0; at < bytes.length; at += mostBytes) {
      const part = bytes.subarray(at, at + mostBytes);
      const nowMs = this.#nowMs();
      const head = Buffer.alloc(headBytes);
      head.write(direction, 0, 'latin1');
      head.writeUInt32LE(Math.min(0xffffffff, Math.max(0, Math.round((nowMs - this.#lastMs) * 1000))), 1);
      head.writeUInt16LE(part.length, 5);
      this.#lastMs = nowMs;
      writeSync(this.#file, Buffer.concat([head, part]));
    }
  }
}

/** One record of a byte log. */
export interface LoggedBytes {
  direction: 'received' | 'sent';
  /** Since the record before. */
  afterUs: number;
  bytes: Uint8Array;
}

/** Returns the records of a byte log; a file without the header is taken as bare bytes that were received. */
export function readByteLog(file: Uint8Array): { bare: boolean; records: LoggedBytes[] } {
  const header = new TextEncoder().encode(byteLogHeader);
  const bare = header.some((b, i) => file[i] !== b);
  if (bare) return { bare, records: [{ direction: 'received', afterUs: 0, bytes: file }] };
  const view = new DataView(file.buffer, file.byteOffset, file.byteLength);
  const records: LoggedBytes[] = [];
  let at = header.length;
  while (at + headBytes <= file.length) {
    const length = view.getUint16(at + 5, true);
    if (at + headBytes + length > file.length) break;
    records.push({
      direction: file[at] === 0x74 ? 'sent' : 'received',
      afterUs: view.getUint32(at + 1, true),
      bytes: file.slice(at + headBytes, at + headBytes + length),
    });
    at += headBytes + length;
  }
  return { bare, records };
}
