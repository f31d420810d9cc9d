// Golden frames (firmware-protocol/vectors.json, computed apart from this code), encoded and decoded.
import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { FrameDecoder } from '../../../src/protocol/frame-decoder.ts';
import {
  decodePayload,
  encodeAnswer,
  encodeNotice,
  encodeRequest,
  type Message,
  type Notice,
  type ProbeAnswer,
  type Request,
} from '../../../src/protocol/messages.ts';

interface Vector {
  name: string;
  direction: 'request' | 'answer' | 'notice' | 'malformed';
  message: Record<string, unknown> & { name: string; seq: number; counter?: string };
  frameHex: string;
}
const vectors: Vector[] = JSON.parse(
  readFileSync(new URL('../../../firmware-protocol/vectors.json', import.meta.url), 'utf8'),
).vectors;
const of = (direction: Vector['direction']) => vectors.filter((v) => v.direction === direction);
const hex = (bytes: Uint8Array) => Buffer.from(bytes).toString('hex');

/** Returns the fields of a vector's message with its lists as typed arrays. */
function fields({ message }: Vector): Record<string, unknown> {
  const { kind: _kind, name: _name, ...rest } = message;
  for (const [key, value] of Object.entries(rest)) {
    if (Array.isArray(value)) rest[key] = key === 'codes' ? Uint16Array.from(value) : Uint8Array.from(value);
  }
  return rest;
}

function decode(frameHex: string): { messages: Message[]; decoder: FrameDecoder } {
  const decoder = new FrameDecoder();
  const messages: Message[] = [];
  decoder.push(Buffer.from(frameHex, 'hex'), (payload) => messages.push(decodePayload(payload)));
  return { messages, decoder };
}

describe('the golden frames', () => {
  test.each(of('request').map((v) => [v.name, v] as const))('request: %s', (_name, v) => {
    const { seq, ...rest } = fields(v);
    expect(hex(encodeRequest({ type: v.message.name, ...rest } as Request, seq as number))).toBe(v.frameHex);
  });

  test.each(of('answer').map((v) => [v.name, v] as const))('answer: %s', (_name, v) => {
    const answer = { kind: 'answer', request: v.message.name, ...fields(v) } as ProbeAnswer;
    expect(hex(encodeAnswer(answer))).toBe(v.frameHex);
    expect(decode(v.frameHex).messages).toEqual([expect.objectContaining(answer)]);
  });

  test.each(of('notice').map((v) => [v.name, v] as const))('notice: %s', (_name, v) => {
    const notice = { kind: v.message.name, ...fields(v) } as Notice;
    expect(hex(encodeNotice(notice))).toBe(v.frameHex);
    expect(decode(v.frameHex).messages).toEqual([notice]);
  });

  test.each(of('malformed').map((v) => [v.name, v] as const))('damaged: %s', (_name, v) => {
    const { messages, decoder } = decode(v.frameHex);
    expect(messages).toEqual([]);
    const { bytes: _bytes, ...counters } = decoder.counters;
    expect(counters).toEqual({
      frames: 0,
      crcErrors: 0,
      badEscapes: 0,
      oversize: 0,
      runts: 0,
      [v.message.counter!]: 1,
    });
  });
});
