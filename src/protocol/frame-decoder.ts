import { crc16 } from './crc16.ts';
import { frameTable } from './table.ts';

const { end, esc, escEnd, escEsc } = frameTable;
/** Type, sequence number and check value. */
const leastBytes = 4;

/** What a decoder has seen, for the record of a session. */
export interface DecoderCounters {
  /** Whole frames with a right check value. */
  frames: number;
  crcErrors: number;
  /** An ESC followed by neither of the two bytes that may follow it. */
  badEscapes: number;
  /** Longer than a payload may be. */
  oversize: number;
  /** Too short to hold type, sequence number and check value; empty ones are not counted. */
  runts: number;
  bytes: number;
}

/**
 * Splits a byte stream into checked payloads, in bounded memory and whatever the bytes.
 *
 * Every END begins anew, so one damaged frame never costs the next. A frame with a bad escape, too many bytes or a wrong check
 * value is dropped and counted. RFC 1055 leaves open what a receiver does with a bad escape; here the frame is dropped.
 */
export class FrameDecoder {
  readonly counters: DecoderCounters = { frames: 0, crcErrors: 0, badEscapes: 0, oversize: 0, runts: 0, bytes: 0 };
  readonly #buffer: Uint8Array;
  #length = 0;
  #escaped = false;
  #dropping = false;

  /** @param maxPayload longest payload with its check value, in bytes */
  constructor(maxPayload: number = frameTable.maxPayloadBytes) {
    this.#buffer = new Uint8Array(maxPayload);
  }

  /** Takes the next bytes of the stream; `onFrame` gets each payload without its check value, valid during the call only. */
  push(chunk: Uint8Array, onFrame: (payload: Uint8Array) => void): void {
    this.counters.bytes += chunk.length;
    for (const byte of chunk) {
      if (byte === end) this.#finish(onFrame);
      else if (!this.#dropping) this.#take(byte);
    }
  }

  #take(byte: number): void {
    let plain = byte;
    if (this.#escaped) {
      this.#escaped = false;
      if (byte === escEnd) plain = end;
      else if (byte === escEsc) plain = esc;
      else {
        this.counters.badEscapes += 1;
        this.#dropping = true;
        return;
      }
    } else if (byte === esc) {
      this.#escaped = true;
      return;
    }
    if (this.#length === this.#buffer.length) {
      this.counters.oversize += 1;
      this.#dropping = true;
      return;
    }
    this.#buffer[this.#length++] = plain;
  }

  #finish(onFrame: (payload: Uint8Array) => void): void {
    const length = this.#length;
    const dropped = this.#dropping;
    const cut = this.#escaped;
    this.#length = 0;
    this.#escaped = false;
    this.#dropping = false;
    if (dropped || (length === 0 && !cut)) return;
    if (cut) {
      this.counters.badEscapes += 1;
      return;
    }
    if (length < leastBytes) {
      this.counters.runts += 1;
      return;
    }
    if (crc16(this.#buffer, 0, length) !== 0) {
      this.counters.crcErrors += 1;
      return;
    }
    this.counters.frames += 1;
    onFrame(this.#buffer.subarray(0, length - 2));
  }
}
