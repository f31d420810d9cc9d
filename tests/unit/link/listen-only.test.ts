import { describe, expect, test } from 'vitest';
import type { LinkItem } from '../../../src/link/probe/link-item.ts';
import { listenOnly } from '../../../src/link/probe/listen-only.ts';
import { byteLogHeader, encodeLogged, type LoggedBytes } from '../../../src/link/recording/byte-log.ts';
import { encodeAnswer, encodeNotice } from '../../../src/protocol/messages.ts';
import { wordsOf } from './open-link.ts';

const readings = (seq: number, index: number, tUs: number) =>
  encodeNotice({
    kind: 'readings',
    seq,
    index,
    tUs,
    periodUs: 884,
    range: 1,
    flags: 8,
    lost: 0,
    edges: 0,
    codes: Uint16Array.of(1, 2),
  });
const boot = encodeNotice({ kind: 'boot', seq: 0, protoMajor: 1, protoMinor: 0, resetCause: 1, bootCount: 2 });
const started = encodeAnswer({ kind: 'answer', request: 'start', seq: 0, status: 'ok', periodUs: 884 });
const hello = (bootCount: number, clockUs: number) =>
  encodeAnswer({
    kind: 'answer',
    request: 'hello',
    seq: 0,
    status: 'ok',
    protoMajor: 1,
    protoMinor: 0,
    fwMajor: 1,
    fwMinor: 0,
    fwBuild: 1,
    probeSerial: 5,
    capabilities: 1,
    resetCause: 1,
    bootCount,
    clockUs,
    maxPayload: 64,
  });

function listen(...parts: Uint8Array[]) {
  const items: LinkItem[] = [];
  const counters = listenOnly(Buffer.concat(parts), (item) => items.push(item));
  return { items, told: items.map(wordsOf), counters };
}
const log = (...records: [LoggedBytes['kind'], Uint8Array | string][]) =>
  Buffer.concat([
    Buffer.from(byteLogHeader),
    ...records.map(([kind, bytes]) => encodeLogged({ kind, afterUs: 1, bytes: Buffer.from(bytes as string) })),
  ]);

describe('listening to recorded bytes', () => {
  test('needs no handshake, and no whole first frame', () => {
    const { told, counters } = listen(readings(4, 0, 100).subarray(9), readings(5, 2, 2000), readings(6, 4, 3768));
    expect(told).toEqual(['readings', 'readings']);
    expect(counters).toMatchObject({ frames: 2, readings: 4, sequenceGaps: 0 });
  });

  test('tells who answered, and what is missing', () => {
    const { told } = listen(hello(1, 50), started, readings(0, 0, 100), readings(2, 6, 5000));
    expect(told).toEqual(['connected', 'readings', 'gap sequence 4', 'readings']);
  });

  test('tells of a restart in mid-stream, but not of the boot that a stream begins with', () => {
    expect(listen(boot, hello(2, 50), readings(1, 0, 100)).told).toEqual(['connected', 'readings']);
    const { told } = listen(readings(9, 0, 9_000_000), boot, readings(1, 0, 100));
    expect(told).toEqual(['readings', 'gap reset null', 'readings']);
  });

  test('hears only the probe in a log, and tells where the port closed', () => {
    const { told, counters } = listen(
      log(
        ['opened', 'port A'],
        ['sent', readings(0, 0, 1)],
        ['received', readings(0, 0, 100)],
        ['closed', 'unplugged'],
        ['opened', 'port A'],
        ['received', readings(77, 0, 9000)],
      ),
    );
    expect(told).toEqual(['readings', 'disconnected', 'readings']);
    expect(counters).toMatchObject({ frames: 2, reconnects: 1, sequenceGaps: 0 });
  });

  test('counts noise, and what only a newer probe knows', () => {
    const { told, counters } = listen(Buffer.from('c0db00c0c00102c0', 'hex'), readings(0, 0, 100));
    expect(told).toEqual(['readings']);
    expect(counters).toMatchObject({ badEscapes: 1, runts: 1 });
  });
});
