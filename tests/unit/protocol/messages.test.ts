import * as fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import type { FieldList } from '../../../src/protocol/fields.ts';
import { FrameDecoder } from '../../../src/protocol/frame-decoder.ts';
import {
  decodePayload,
  encodeAnswer,
  encodeNotice,
  encodeRequest,
  eventName,
  type Message,
  type Notice,
  type ProbeAnswer,
  type Request,
} from '../../../src/protocol/messages.ts';
import { encodeFrame } from '../../../src/protocol/slip.ts';
import { enumTable, noticeTable, requestTable, statusTable } from '../../../src/protocol/table.ts';

const u8 = fc.integer({ min: 0, max: 255 });
const values = {
  u8,
  u16: fc.integer({ min: 0, max: 0xffff }),
  u32: fc.integer({ min: 0, max: 0xffffffff }),
  bytes: fc.uint8Array({ maxLength: 32 }),
  u16s: fc.uint16Array({ maxLength: 16 }),
};
const body = (fields: FieldList) => fc.record(Object.fromEntries(fields.map(([name, type]) => [name, values[type]])));

function payloadOf(frame: Uint8Array): Uint8Array {
  const found: Uint8Array[] = [];
  new FrameDecoder().push(frame, (payload) => found.push(payload));
  expect(found).toHaveLength(1);
  return found[0]!;
}
const decode = (frame: Uint8Array): Message => decodePayload(payloadOf(frame));

describe('messages', () => {
  test.each(Object.keys(requestTable) as Request['type'][])('an answer to %s comes back as it was', (request) => {
    fc.assert(
      fc.property(u8, body(requestTable[request].answer), (seq, fields) => {
        const answer = { kind: 'answer', request, seq, status: 'ok', ...fields } as ProbeAnswer;
        expect(decode(encodeAnswer(answer))).toEqual(answer);
      }),
    );
  });

  test.each(Object.keys(noticeTable) as Notice['kind'][])('a notice of %s comes back as it was', (kind) => {
    fc.assert(
      fc.property(u8, body(noticeTable[kind].fields), (seq, fields) => {
        const notice = { kind, seq, ...fields } as Notice;
        expect(decode(encodeNotice(notice))).toEqual(notice);
      }),
    );
  });

  test('names stand for their numbers in a request', () => {
    const byName = encodeRequest({ type: 'mode', mode: 'resistance', level: 'dry', range: 'auto', input: 'check' }, 9);
    expect(byName).toEqual(encodeRequest({ type: 'mode', mode: 1, level: 1, range: 255, input: 2 }, 9));
    expect(encodeRequest({ type: 'start', rate: 'fast', batch: 4 }, 0)).toEqual(
      encodeRequest({ type: 'start', rate: 2, batch: 4 }, 0),
    );
  });

  test.each([256, -1, 1.5, Number.NaN])('a batch of %d is no u8', (batch) => {
    expect(() => encodeRequest({ type: 'start', rate: 'standard', batch }, 0)).toThrow(RangeError);
  });

  test('bytes after the last field are passed over: a newer minor version may add fields', () => {
    const start = payloadOf(encodeAnswer({ kind: 'answer', request: 'start', seq: 3, status: 'ok', periodUs: 884 }));
    expect(decodePayload(Uint8Array.of(...start, 1, 2, 3))).toEqual(decodePayload(start));
  });

  test('a body that is cut is malformed at every length', () => {
    const notice: Notice = { kind: 'event', seq: 1, code: 1, tUs: 5, arg: 6 };
    const whole = payloadOf(encodeNotice(notice));
    for (let n = 0; n < whole.length; n++) expect(decodePayload(whole.subarray(0, n)).kind).toBe('malformed');
    expect(decodePayload(whole)).toEqual(notice);
  });

  test('half a code is malformed', () => {
    const readings: Notice = {
      kind: 'readings',
      seq: 0,
      index: 0,
      tUs: 0,
      periodUs: 884,
      range: 0,
      flags: 0,
      lost: 0,
      edges: 0,
      codes: Uint16Array.of(7),
    };
    const whole = payloadOf(encodeNotice(readings));
    expect(decodePayload(whole.subarray(0, whole.length - 1)).kind).toBe('malformed');
  });

  test('types, statuses and events of a newer probe are told apart from damage', () => {
    expect(decode(encodeFrame(Uint8Array.of(127, 4, 9)))).toEqual({ kind: 'unknown', type: 127, seq: 4 });
    expect(decode(encodeFrame(Uint8Array.of(128 + 63, 4, 0)))).toEqual({ kind: 'unknown', type: 191, seq: 4 });
    const newest = Object.keys(statusTable).length + 40;
    expect(decode(encodeFrame(Uint8Array.of(128 + 2, 4, newest)))).toEqual({
      kind: 'answer',
      request: 'start',
      seq: 4,
      status: 'unlisted',
      statusCode: newest,
    });
    expect(eventName(200)).toBeNull();
    expect(eventName(enumTable.event.liveOn)).toBe('liveOn');
  });

  test('a request that comes back (a looped line) is no answer', () => {
    expect(decode(encodeRequest({ type: 'keepAlive' }, 5)).kind).toBe('unknown');
  });
});
