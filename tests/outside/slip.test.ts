// RFC 1055 and a published stuffing example (sources in data/slip.json) against the framing of the wire protocol.
import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { FrameDecoder } from '../../src/protocol/frame-decoder.ts';
import { encodeFrame, encodeSlip } from '../../src/protocol/slip.ts';
import { frameTable } from '../../src/protocol/table.ts';

interface Data {
  special: { end: number; esc: number; escEnd: number; escEsc: number };
  encode_hex: Record<string, string>;
  published_figure: { encoded: string; decoded: string };
  must_reject_or_flag: string[];
}
const data: Data = JSON.parse(readFileSync(new URL('data/slip.json', import.meta.url), 'utf8'));
const bytes = (hex: string) => new Uint8Array(Buffer.from(hex, 'hex'));
const hex = (b: Uint8Array) => Buffer.from(b).toString('hex');

describe('SLIP', () => {
  test('uses the four bytes of RFC 1055', () => {
    expect(frameTable).toMatchObject(data.special);
  });

  test.each(Object.entries(data.encode_hex))('"%s" is sent as %s', (payload, frame) => {
    expect(hex(encodeSlip(bytes(payload)))).toBe(frame);
  });

  test('stuffs the published example as printed', () => {
    const { encoded, decoded } = data.published_figure;
    expect(hex(encodeSlip(bytes(decoded)))).toBe(`${encoded}c0`);
  });

  test('what is stuffed comes out as it went in, with its check value around it', () => {
    const payload = bytes(data.published_figure.decoded);
    const out: string[] = [];
    new FrameDecoder().push(encodeFrame(payload), (p) => out.push(hex(p)));
    expect(out).toEqual([data.published_figure.decoded]);
  });

  test.each(data.must_reject_or_flag)('%s is a bad escape, and the next frame is whole', (broken) => {
    const decoder = new FrameDecoder();
    const out: string[] = [];
    decoder.push(bytes(broken), (p) => out.push(hex(p)));
    decoder.push(encodeFrame(bytes('0102')), (p) => out.push(hex(p)));
    expect(out).toEqual(['0102']);
    expect(decoder.counters).toMatchObject({ badEscapes: 1, frames: 1 });
  });
});
