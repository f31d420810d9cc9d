import { crc16 } from './crc16.ts';
import { frameTable } from './table.ts';

const { end, esc, escEnd, escEsc } = frameTable;
const crcBytes = 2;
/** Type, sequence number and CRC are the least that a frame holds. */
const leastBytes = 4;

/**
 * What a decoder has seen since it was made. `bytes` counts every byte, `frames` those whose CRC
 * held.
 */
export interface DecoderCounters {
  frames: number;
  crcErrors: number;
  badEscapes: number;
  oversize: number;
  runts: number;
  bytes: number;
}

type Spoilt = 'badEscapes' | 'oversize';

/**
 * SLIP decoder (RFC 1055) with a bound and a CRC: END always resynchronises.
 *
 * A frame with a wrong escape or longer than the bound is dropped whole, up to the next END, and
 * counted. (The RFC leaves open what ESC before an ordinary byte means; here it spoils the frame.)
 * Any chunking of the same bytes gives the same frames. Memory is one buffer of the bound, whatever
 * comes in.
 */
export class FrameDecoder {
  readonly counters: DecoderCounters = { frames: 0, crcErrors: 0, badEscapes: 0, oversize: 0, runts: 0, bytes: 0 };
  readonly #buffer: Uint8Array;
  #length = 0;
  #escaped = false;
  #spoilt: Spoilt | null = null;

  /** @param maxPayload longest payload in bytes, its CRC included; at least 4 */
  constructor(maxPayload: number = frameTable.maxPayloadBytes) {
    this.#buffer = new Uint8Array(maxPayload);
  }

  /**
   * Takes bytes as they came and gives each whole, checked payload, CRC stripped, to `onFrame` as a
   * copy of its own.
   */
  push(chunk: Uint8Array, onFrame: (payload: Uint8Array) => void): void {
    this.counters.bytes += chunk.length;
    for (const byte of chunk) {
      if (byte === end) this.#finish(onFrame);
      else if (this.#spoilt === null) this.#take(byte);
    }
  }

  #take(byte: number): void {
    if (!this.#escaped) {
      if (byte === esc) this.#escaped = true;
      else this.#store(byte);
      return;
    }
    this.#escaped = false;
    if (byte === escEnd) this.#store(end);
    else if (byte === escEsc) this.#store(esc);
    else this.#spoilt = 'badEscapes';
  }

  #store(byte: number): void {
    if (this.#length === this.#buffer.length) this.#spoilt = 'oversize';
    else this.#buffer[this.#length++] = byte;
  }

  #finish(onFrame: (payload: Uint8Array) => void): void {
    const length = this.#length;
    const spoilt = this.#escaped ? 'badEscapes' : this.#spoilt;
    this.#length = 0;
    this.#escaped = false;
    this.#spoilt = null;
    if (spoilt !== null) {
      this.counters[spoilt]++;
    } else if (length === 0) {
      return; // END END: nothing between two frames
    } else if (length < leastBytes) {
      this.counters.runts++;
    } else if (crc16(this.#buffer, 0, length) !== 0) {
      this.counters.crcErrors++;
    } else {
      this.counters.frames++;
      onFrame(this.#buffer.slice(0, length - crcBytes));
    }
  }
}
