// Golden frames (firmware-protocol/vectors.json, computed apart from this code) against the firmware's own framing, CRC and field packing.
import { readFileSync } from 'node:fs';
import * as fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { missingBuildTool, runCore } from './host-core.ts';

type Fields = [string, string][];
interface Table {
  requests: Record<string, { type: number; fields: Fields; answer: Fields }>;
  notices: Record<string, { type: number; fields: Fields }>;
  status: Record<string, { code: number }>;
}
interface Vector {
  name: string;
  direction: 'request' | 'answer' | 'notice' | 'malformed';
  message: Record<string, unknown> & { name: string; seq: number; status?: string; counter?: string };
  frameHex: string;
}
const read = (name: string) =>
  JSON.parse(readFileSync(new URL(`../../firmware-protocol/${name}`, import.meta.url), 'utf8'));
const table: Table = read('messages.json');
const vectors: Vector[] = read('vectors.json').vectors;

/** Returns type code and [wire type, number] of every field of a vector's message. */
function parts(v: Vector): { type: number; fields: [string, number][] } {
  const m = v.message;
  const spread = (fields: Fields) =>
    fields.flatMap(([name, kind]): [string, number][] => {
      const value = m[name];
      if (kind === 'bytes' || kind === 'u16s')
        return (value as number[]).map((n) => [kind === 'bytes' ? 'u8' : 'u16', n]);
      return [[kind, value as number]];
    });
  if (v.direction === 'notice')
    return { type: table.notices[m.name]!.type, fields: spread(table.notices[m.name]!.fields) };
  const request = table.requests[m.name]!;
  if (v.direction === 'request') return { type: request.type, fields: spread(request.fields) };
  const fields = m.status === 'ok' ? spread(request.answer) : [];
  return { type: request.type | 128, fields: [['u8', table.status[m.status!]!.code], ...fields] };
}

describe.skipIf(missingBuildTool('cc'))('the firmware and the golden frames', () => {
  const good = vectors.filter((v) => v.direction !== 'malformed');

  test('there is one for every request, answer, refusal code, notice and kind of damage', () => {
    const seen = (direction: string, key: string) =>
      new Set(vectors.filter((v) => v.direction === direction).map((v) => v.message[key]));
    expect([...seen('request', 'name')].sort()).toEqual(Object.keys(table.requests).sort());
    expect([...seen('answer', 'name')].sort()).toEqual(Object.keys(table.requests).sort());
    expect([...seen('answer', 'status')].sort()).toEqual(Object.keys(table.status).sort());
    expect([...seen('notice', 'name')].sort()).toEqual(Object.keys(table.notices).sort());
    expect([...seen('malformed', 'counter')].sort()).toEqual(['badEscapes', 'crcErrors', 'oversize', 'runts']);
  });

  test('encodes every one of them to the same bytes', () => {
    const commands = good.map((v) => {
      const { type, fields } = parts(v);
      return `pack ${type} ${v.message.seq} ${fields.map(([kind, n]) => `${kind}:${n}`).join(' ')}`;
    });
    expect(runCore(commands)).toEqual(good.map((v) => v.frameHex));
  });

  test('decodes every one of them to the same fields', () => {
    const answers = runCore(
      good.map(
        (v) =>
          `unpack 64 ${v.frameHex} ${parts(v)
            .fields.map(([k]) => k)
            .join(',')}`,
      ),
    );
    const expected = good.map((v) => {
      const { type, fields } = parts(v);
      return `${['frame', type, v.message.seq, ...fields.map(([, n]) => n)].join(' ')} ;`;
    });
    expect(answers).toEqual(expected);
  });

  test('counts each malformed one under its own kind, and takes the good frame after it', () => {
    const bad = vectors.filter((v) => v.direction === 'malformed');
    const next = good[0]!;
    const answers = runCore(bad.map((v) => `unpack 64 ${v.frameHex}${next.frameHex} u8,u8`));
    expect(answers.map((line) => line.split(' ')[0])).toEqual(bad.map((v) => v.message.counter));
    for (const line of answers) expect(line).toMatch(/frame 1 0 1 0 ;$/);
  });

  test('every request fits what the probe holds', () => {
    const requests = good.filter((v) => v.direction === 'request');
    const answers = runCore(requests.map((v) => `unpack 44 ${v.frameHex} u8,*`));
    for (const line of answers) expect(line).toMatch(/^frame /);
  });

  test('CRC-16/IBM-3740 check value (CRC catalogue: 0x29b1 for "123456789")', () => {
    expect(runCore([`crc ${Buffer.from('123456789').toString('hex')}`])).toEqual(['29b1']);
  });

  test('noise of any kind before a frame costs at most itself', () => {
    const noise = fc.sample(fc.uint8Array({ maxLength: 300 }), { numRuns: 400, seed: 20 });
    const next = good[0]!;
    const answers = runCore(
      noise.map((bytes) => `unpack 44 ${Buffer.from(bytes).toString('hex')}${next.frameHex} u8,u8`),
    );
    for (const line of answers) expect(line).toMatch(/frame 1 0 1 0 ;$/);
  });

  test('any body of up to 58 bytes comes back as it was', () => {
    const bodies = fc.sample(fc.array(fc.constantFrom(0, 1, 0xc0, 0xdb, 0xdc, 0xdd, 0xff), { maxLength: 58 }), {
      numRuns: 200,
      seed: 21,
    });
    const frames = runCore(bodies.map((body) => `pack 11 9 ${body.map((n) => `u8:${n}`).join(' ')}`));
    for (const frame of frames) expect(frame.slice(2, -2).match(/../g)).not.toContain('c0');
    const answers = runCore(frames.map((frame) => `unpack 64 ${frame} u8,*`));
    expect(answers).toEqual(bodies.map((body) => `${['frame', 11, 9, ...body].join(' ')} ;`));
  });
});
