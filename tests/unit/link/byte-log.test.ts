import { closeSync, openSync, readFileSync, writeSync } from 'node:fs';
import { join } from 'node:path';
import * as fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import {
  ByteLog,
  byteLogHeader,
  encodeLogged,
  type LoggedBytes,
  readByteLog,
} from '../../../src/link/recording/byte-log.ts';
import { notApplicable } from '../../support/needs.ts';
import { scratch } from '../../support/scratch.ts';

const newPath = () => join(scratch(), 'session.bytes');

const record: fc.Arbitrary<LoggedBytes> = fc.record({
  kind: fc.constantFrom('opened', 'received', 'sent', 'closed'),
  afterUs: fc.integer({ min: 0, max: 2 ** 32 - 1 }),
  bytes: fc.uint8Array({ maxLength: 300 }),
});
const fileOf = (records: LoggedBytes[]) =>
  Buffer.concat([Buffer.from(byteLogHeader), ...records.map((one) => encodeLogged(one))]);

describe('the byte log', () => {
  test('holds what came and went, with the time between', () => {
    const path = newPath();
    let nowMs = 5;
    const log = new ByteLog(path, () => nowMs);
    log.opened('port A');
    nowMs = 6.5;
    log.sent(Uint8Array.of(1, 2));
    log.received(Uint8Array.of(0xc0));
    nowMs = 7;
    log.closed('unplugged');
    log.close();
    const text = (bytes: Uint8Array) => Buffer.from(bytes).toString();
    const { bare, records } = readByteLog(readFileSync(path));
    expect(bare).toBe(false);
    expect(records.map(({ kind, afterUs }) => [kind, afterUs])).toEqual([
      ['opened', 0],
      ['sent', 1500],
      ['received', 0],
      ['closed', 500],
    ]);
    expect(text(records[0]!.bytes)).toBe('port A');
    expect([...records[1]!.bytes]).toEqual([1, 2]);
    expect(text(records[3]!.bytes)).toBe('unplugged');
  });

  test('a chunk longer than a record holds goes into several', () => {
    const path = newPath();
    const log = new ByteLog(path, () => 0);
    log.received(new Uint8Array(150_000).fill(7));
    log.close();
    const { records } = readByteLog(readFileSync(path));
    expect(records.map((one) => one.bytes.length)).toEqual([65_535, 65_535, 18_930]);
  });

  test('keeps nothing after its end, not even in a file that was opened since', () => {
    const [path, other] = [newPath(), newPath()];
    const log = new ByteLog(path, () => 0);
    log.close();
    const file = openSync(other, 'w'); // takes the number that has come free
    log.received(Uint8Array.of(1, 2, 3));
    log.close();
    closeSync(file);
    expect(readFileSync(other)).toHaveLength(0);
    expect(log.problem).toBeNull();
  });

  test('cut at any byte gives all whole records', () => {
    fc.assert(
      fc.property(fc.array(record, { minLength: 1, maxLength: 5 }), fc.nat(), (records, at) => {
        const file = fileOf(records);
        const cut = byteLogHeader.length + (at % (file.length - byteLogHeader.length + 1));
        const read = readByteLog(file.subarray(0, cut)).records;
        expect(read).toEqual(records.slice(0, read.length));
        expect(fileOf(records.slice(0, read.length + 1)).length > cut || read.length === records.length).toBe(true);
      }),
    );
  });

  test('no bytes make the reader throw; without the first line they are bare bytes from a probe', () => {
    fc.assert(
      fc.property(fc.uint8Array({ maxLength: 400 }), (bytes) => {
        expect(() => readByteLog(Buffer.concat([Buffer.from(byteLogHeader), bytes]))).not.toThrow();
        const { bare, records } = readByteLog(bytes);
        expect(bare).toBe(true);
        expect(records.flatMap((one) => [...one.bytes])).toEqual([...bytes]);
      }),
    );
  });

  // /dev/full is a file on a disk that is always full; only Linux has it
  test.skipIf(notApplicable(process.platform === 'linux', 'there is no /dev/full here', 'a full disk is not tested'))(
    'on a full disk it ends and says so, and nothing else ends',
    () => {
      const full = openSync('/dev/full', 'w');
      const log = new ByteLog('full', undefined, {
        open: (path) => ({
          path,
          write: (bytes) => void writeSync(full, Buffer.from(bytes)),
          close: () => closeSync(full),
        }),
      });
      log.received(Uint8Array.of(1));
      expect(log.problem).toContain('the disk is full');
      log.close();
    },
  );
});
