import * as fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { FrameDecoder } from '../../../src/protocol/frame-decoder.ts';
import { decodePayload } from '../../../src/protocol/messages.ts';
import { encodeFrame } from '../../../src/protocol/slip.ts';
import { frameTable } from '../../../src/protocol/table.ts';

const most = frameTable.maxPayloadBytes - 2;
/** Bytes in which the framing's own are as frequent as all others together. */
const nastyByte = fc.oneof(fc.constantFrom(0xc0, 0xdb, 0xdc, 0xdd), fc.integer({ min: 0, max: 255 }));
const payload = fc.array(nastyByte, { minLength: 2, maxLength: most }).map((a) => Uint8Array.from(a));
const noise = fc.array(nastyByte, { maxLength: 400 }).map((a) => Uint8Array.from(a));
const streamPart = fc.oneof(payload.map(encodeFrame), noise);

function join(parts: readonly Uint8Array[]): Uint8Array {
  return Uint8Array.from(parts.flatMap((part) => [...part]));
}

function decodeAll(chunks: readonly Uint8Array[]) {
  const decoder = new FrameDecoder();
  const frames: number[][] = [];
  for (const chunk of chunks) decoder.push(chunk, (p) => frames.push([...p]));
  return { frames, counters: decoder.counters };
}

/** Cuts bytes into chunks of the given lengths, over and over. */
function cut(bytes: Uint8Array, lengths: readonly number[]): Uint8Array[] {
  const chunks: Uint8Array[] = [];
  for (let at = 0, i = 0; at < bytes.length; i++) {
    const length = lengths[i % lengths.length]!;
    chunks.push(bytes.subarray(at, at + length));
    at += length;
  }
  return chunks;
}

describe('the frame decoder', () => {
  test('any chunking of the same bytes gives the same frames and counts', () => {
    const lengths = fc.array(fc.integer({ min: 1, max: 40 }), { minLength: 1, maxLength: 20 });
    fc.assert(
      fc.property(fc.array(streamPart, { maxLength: 12 }), lengths, (parts, sizes) => {
        const bytes = join(parts);
        expect(decodeAll(cut(bytes, sizes))).toEqual(decodeAll([bytes]));
      }),
    );
  });

  test('every whole frame comes out, whatever noise is between the frames', () => {
    const pieces = fc.array(fc.tuple(noise, payload), { minLength: 1, maxLength: 6 });
    fc.assert(
      fc.property(pieces, (pairs) => {
        const { frames } = decodeAll(pairs.flatMap(([dirt, p]) => [dirt, encodeFrame(p)]));
        const wanted = pairs.map(([, p]) => [...p]);
        // noise may hold a frame by chance, one in 65 536: so the wanted ones must be there, in order
        let at = 0;
        for (const frame of frames) if (JSON.stringify(frame) === JSON.stringify(wanted[at])) at++;
        expect(at).toBe(wanted.length);
      }),
    );
  });

  test('no bytes make it or the message decoder throw, and every byte is counted', () => {
    fc.assert(
      fc.property(fc.array(streamPart, { maxLength: 10 }), (parts) => {
        const bytes = join(parts);
        const decoder = new FrameDecoder();
        decoder.push(bytes, (p) => {
          expect(p.length).toBeLessThanOrEqual(most);
          decodePayload(p);
        });
        expect(decoder.counters.bytes).toBe(bytes.length);
      }),
    );
  });

  test('no payload makes the message decoder throw', () => {
    fc.assert(
      fc.property(fc.uint8Array({ maxLength: 70 }), (bytes) => {
        expect(decodePayload(bytes).kind).toBeTypeOf('string');
      }),
    );
  });

  test('a megabyte without an END costs one frame and no more memory than one', () => {
    const decoder = new FrameDecoder();
    const frames: number[][] = [];
    const chunk = new Uint8Array(4096).fill(0x55);
    for (let i = 0; i < 256; i++) decoder.push(chunk, (p) => frames.push([...p]));
    decoder.push(encodeFrame(Uint8Array.of(1, 2, 3)), (p) => frames.push([...p]));
    expect(frames).toEqual([[1, 2, 3]]);
    expect(decoder.counters).toMatchObject({ oversize: 1, frames: 1 });
  });

  test('the longest payload passes, one byte more does not', () => {
    const { frames, counters } = decodeAll([encodeFrame(new Uint8Array(most)), encodeFrame(new Uint8Array(most + 1))]);
    expect(frames.map((f) => f.length)).toEqual([most]);
    expect(counters).toMatchObject({ frames: 1, oversize: 1 });
  });

  test('each payload is a copy of its own', () => {
    const kept: Uint8Array[] = [];
    const decoder = new FrameDecoder();
    for (const n of [1, 2]) decoder.push(encodeFrame(Uint8Array.of(n, n, n)), (p) => kept.push(p));
    expect(kept.map((p) => [...p])).toEqual([
      [1, 1, 1],
      [2, 2, 2],
    ]);
  });
});
