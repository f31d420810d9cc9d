import { readFileSync } from 'node:fs';
import { widestPayload } from '../../../src/link/probe/connection.ts';
import { FrameDecoder } from '../../../src/protocol/frame-decoder.ts';
import { decodePayload } from '../../../src/protocol/messages.ts';
import { encodeFrame } from '../../../src/protocol/slip.ts';
import { frameTable } from '../../../src/protocol/table.ts';
import type { FuzzTarget } from '../target.ts';

/** Golden frames of the protocol, both directions. */
export function goldenFrames(): Uint8Array[] {
  const file = new URL('../../../firmware-protocol/vectors.json', import.meta.url);
  const { vectors } = JSON.parse(readFileSync(file, 'utf8')) as { vectors: { frameHex: string }[] };
  return vectors.map(({ frameHex }) => new Uint8Array(Buffer.from(frameHex, 'hex')));
}

/** Returns the same stretches between two ENDs, each with the check value that belongs to it. */
export function sealFrames(bytes: Uint8Array): Uint8Array {
  const { end, esc, escEnd, escEsc } = frameTable;
  const frames: Uint8Array[] = [];
  let payload: number[] = [];
  for (let at = 0; at <= bytes.length; at++) {
    const byte = at === bytes.length ? end : bytes[at]!;
    if (byte !== end) {
      const isEscaped = byte === esc && (bytes[at + 1] === escEnd || bytes[at + 1] === escEsc);
      payload.push(isEscaped ? (bytes[++at] === escEnd ? end : esc) : byte);
    } else {
      // the last two were the check value
      if (payload.length > 2) frames.push(encodeFrame(Uint8Array.from(payload.slice(0, -2))));
      payload = [];
    }
  }
  return new Uint8Array(Buffer.concat(frames));
}

/** Bytes of a line to messages. In any two parts they give what they give at once. */
export const frames: FuzzTarget = {
  name: 'frames',
  executions: 5_000_000,
  mostBytes: 200,
  mostSteps: { base: 500, aByte: 40 },
  words: ['\u00c0', '\u00db\u00dc', '\u00db\u00dd', '\u00db', '\u00c0\u0001', '\u00c0\u0081', '\u00c0\u0040'],
  seeds: () => [new Uint8Array(Buffer.concat(goldenFrames().slice(0, 8))), ...goldenFrames()],
  seal: sealFrames,
  run(bytes) {
    const whole = messagesOf([bytes]);
    const at = bytes.length === 0 ? 0 : bytes[0]! % bytes.length;
    const parts = messagesOf([bytes.subarray(0, at), bytes.subarray(at)]);
    if (parts.messages.length !== whole.messages.length || parts.badEscapes !== whole.badEscapes)
      throw new Error('the same bytes in two parts give other frames');
    return whole;
  },
};

function messagesOf(chunks: readonly Uint8Array[]) {
  const decoder = new FrameDecoder(widestPayload);
  const messages: unknown[] = [];
  for (const chunk of chunks) decoder.push(chunk, (payload) => messages.push(decodePayload(payload)));
  return { messages, ...decoder.counters };
}
