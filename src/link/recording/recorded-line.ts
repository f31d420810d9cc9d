import { FrameDecoder } from '../../protocol/frame-decoder.ts';
import { decodePayload, type ProbeAnswer } from '../../protocol/messages.ts';
import { frameTable } from '../../protocol/table.ts';
import { widestPayload } from '../probe/connection.ts';
import type { LoggedBytes } from './byte-log.ts';

/** A stretch of a recording: bytes that a probe sent, an answer of it, or the port closing. */
export type RecordedPiece =
  | { kind: 'bytes'; bytes: Uint8Array }
  | { kind: 'answer'; answer: ProbeAnswer }
  | { kind: 'closed'; why: string };

/**
 * Returns a recording as one list of pieces for each connection in it. Whatever is no answer stays
 * as it was, byte by byte: notices, noise, damaged frames. Bare bytes are one connection.
 */
export function recordedConnections(records: readonly LoggedBytes[]): RecordedPiece[][] {
  const connections: RecordedPiece[][] = [];
  let line: LineSplitter | null = null;
  const begin = () => {
    const pieces: RecordedPiece[] = [];
    connections.push(pieces);
    line = new LineSplitter(pieces);
    return line;
  };
  for (const { kind, bytes } of records) {
    if (kind === 'opened') begin();
    if (kind === 'received') (line ?? begin()).take(bytes);
    if (kind === 'closed' && line !== null) {
      (line as LineSplitter).end({ kind: 'closed', why: new TextDecoder().decode(bytes) });
      line = null;
    }
  }
  (line as LineSplitter | null)?.end(null);
  return connections;
}

/** Cuts a line at its ENDs, and tells answers from the rest. */
class LineSplitter {
  readonly #pieces: RecordedPiece[];
  #raw: number[] = [];
  #rest: number[] = [];
  /** An END whose frame is still to come: it goes with that frame. */
  #opening: number[] = [];

  constructor(pieces: RecordedPiece[]) {
    this.#pieces = pieces;
  }

  take(bytes: Uint8Array): void {
    for (const byte of bytes) {
      this.#raw.push(byte);
      if (byte === frameTable.end) this.#cut();
    }
    this.#flush(); // the chunks of the recording are kept where no answer cuts them
  }

  end(last: RecordedPiece | null): void {
    this.#rest.push(...this.#opening.splice(0), ...this.#raw.splice(0));
    this.#flush();
    if (last !== null) this.#pieces.push(last);
  }

  #cut(): void {
    const raw = Uint8Array.from(this.#raw.splice(0));
    const opening = this.#opening.splice(0);
    const answer = answerIn(raw);
    if (answer === null) {
      this.#rest.push(...opening);
      if (raw.length === 1) this.#opening.push(...raw);
      else this.#rest.push(...raw);
      return;
    }
    this.#flush();
    this.#pieces.push({ kind: 'answer', answer });
  }

  #flush(): void {
    if (this.#rest.length > 0) this.#pieces.push({ kind: 'bytes', bytes: Uint8Array.from(this.#rest.splice(0)) });
  }
}

function answerIn(raw: Uint8Array): ProbeAnswer | null {
  let found: ProbeAnswer | null = null;
  new FrameDecoder(widestPayload).push(raw, (payload) => {
    const message = decodePayload(payload);
    if (message.kind === 'answer') found = message;
  });
  return found;
}
