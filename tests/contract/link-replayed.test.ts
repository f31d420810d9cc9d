// Each clause is run on the emulated probe with a byte log, then the same clause on that log.
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import { listenOnly } from '../../src/link/probe/listen-only.ts';
import { type LinkItem, ProbeLink } from '../../src/link/probe/probe-link.ts';
import { ByteLog, readByteLog } from '../../src/link/recording/byte-log.ts';
import { replaySource } from '../../src/link/recording/replay-transport.ts';
import { scratch } from '../support/scratch.ts';
import { emulatedRig } from './emulated-rig.ts';
import { type Clause, clauses, connectTo, type LinkRig, linkContract } from './link-contract.ts';

/** Runs a clause on an emulated probe; returns the bytes of its log and the items of all its links. */
async function record(clause: Clause): Promise<{ log: Uint8Array; items: LinkItem[] }> {
  const path = join(scratch(), 'session.bytes');
  const byteLog = new ByteLog(path);
  const items: LinkItem[] = [];
  const rig = emulatedRig();
  await clause.run(rig, (r, reconnect) => connectTo(r, { reconnect, byteLog, listen: (item) => items.push(item) }));
  await rig.close();
  byteLog.close();
  expect(byteLog.problem).toBeNull();
  return { log: readFileSync(path), items };
}

const replayRig = (log: Uint8Array): LinkRig => ({
  source: replaySource(log, 'session.bytes'),
  unplug: () => undefined, // it is in the recording
  plugIn: () => undefined,
  dip: () => undefined,
  close: async () => undefined,
});

linkContract('a recording', async (clause) => replayRig((await record(clause)).log));

describe('a recording', () => {
  test.each(clauses.map((clause) => [clause.name, clause] as const))(
    'gives the same items as the session: %s',
    async (_name, clause) => {
      const { log, items } = await record(clause);
      const again: LinkItem[] = [];
      await clause.run(replayRig(log), (r, reconnect) =>
        connectTo(r, { reconnect, listen: (item) => again.push(item) }),
      );
      expect(again).toEqual(items);
    },
  );

  const streaming = clauses.find((clause) => clause.name.startsWith('streams'))!;
  const batches = (items: LinkItem[]) => items.filter((item) => item.kind === 'readings');

  test('listened to without a word gives the same readings, from the log and from its bare bytes', async () => {
    const { log, items } = await record(streaming);
    const heard: LinkItem[] = [];
    const counters = listenOnly(log, (item) => heard.push(item));
    expect(batches(heard)).toEqual(batches(items));
    expect(counters).toMatchObject({ crcErrors: 0, sequenceGaps: 0, missedReadings: 0 });
    const received = readByteLog(log).records.filter((record) => record.kind === 'received');
    const bare = Uint8Array.from(received.flatMap((record) => [...record.bytes]));
    const heardBare: LinkItem[] = [];
    listenOnly(bare, (item) => heardBare.push(item));
    expect(batches(heardBare)).toEqual(batches(items));
  });

  test('begun in mid-stream gives the readings that are whole', async () => {
    const { log, items } = await record(streaming);
    const received = readByteLog(log).records.filter((record) => record.kind === 'received');
    const bare = Uint8Array.from(received.flatMap((record) => [...record.bytes]));
    const heard: LinkItem[] = [];
    listenOnly(bare.subarray(Math.floor(bare.length / 2)), (item) => heard.push(item));
    const known = new Map(batches(items).map((item) => [(item as { batch: { tUs: number } }).batch.tUs, item]));
    expect(batches(heard).length).toBeGreaterThan(10);
    for (const item of batches(heard)) {
      const { batch } = item as Extract<LinkItem, { kind: 'readings' }>;
      expect(item).toEqual(known.get(batch.tUs));
    }
    expect(heard.filter((item) => item.kind === 'gap')).toEqual([]);
  });

  test('another program, that sounds tones and asks less, gets the same readings', async () => {
    const { log, items } = await record(streaming);
    const heard: LinkItem[] = [];
    let ended: () => void = () => undefined;
    const end = new Promise<void>((resolve) => {
      ended = resolve;
    });
    const link = await ProbeLink.connect(replaySource(log, 'session.bytes'), {
      onItem: (item) => {
        heard.push(item);
        if (item.kind === 'disconnected') ended();
      },
    });
    await link.request({ type: 'tone', frequencyHz: 880, durationMs: 50 });
    await link.request({ type: 'start', rate: 'standard', batch: 8 });
    await end;
    expect(batches(heard)).toEqual(batches(items));
    await link.close();
  });

  test('asked for what it does not hold ends, and says so', async () => {
    const { log } = await record(streaming);
    const heard: LinkItem[] = [];
    const link = await ProbeLink.connect(replaySource(log, 'session.bytes'), { onItem: (item) => heard.push(item) });
    const asked = link.request({ type: 'setSerial', probeSerial: 5 });
    await expect(asked).rejects.toMatchObject({ code: 'link.lost', message: expect.stringContaining('setSerial') });
    await link.close();
  });

  test('of nothing is no probe to connect to', async () => {
    const connecting = ProbeLink.connect(replaySource(new Uint8Array(), 'empty.bytes'), { onItem: () => undefined });
    await expect(connecting).rejects.toMatchObject({ code: 'link.recording' });
  });
});
