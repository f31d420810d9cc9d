import { describe, expect, test } from 'vitest';
import type { LinkItem } from '../../../src/link/probe/link-item.ts';
import { flagBits, timeoutTable } from '../../../src/protocol/table.ts';
import { settle } from './manual-timers.ts';
import { streamingLink } from './open-link.ts';

type Gap = Extract<LinkItem, { kind: 'gap' }>;
type Readings = Extract<LinkItem, { kind: 'readings' }>;
const gaps = (items: LinkItem[]) => items.filter((item): item is Gap => item.kind === 'gap');
const batches = (items: LinkItem[]) =>
  items.filter((item): item is Readings => item.kind === 'readings').map((i) => i.batch);

describe('readings and events', () => {
  test('come in order, with their flags by name', async () => {
    const { probe, items, told } = await streamingLink();
    probe.readings({ index: 0, tUs: 2000, flags: flagBits.seatA | flagBits.excitation, edges: 3 });
    probe.event('buttonDown', 2500);
    probe.readings({ index: 2, tUs: 3768 });
    expect(told()).toEqual(['readings', 'event buttonDown', 'readings']);
    expect(batches(items)[0]).toMatchObject({ index: 0, tUs: 2000, periodUs: 884, range: 2, lost: 0, edges: 3 });
    expect(batches(items)[0]!.flags).toMatchObject({ seatA: true, seatB: false, excitation: true });
    expect([...batches(items)[0]!.codes]).toEqual([400, 401]);
  });

  test('the clock goes on where the probe has 32 bits, the index where it has 16', async () => {
    const { probe, items } = await streamingLink();
    probe.readings({ index: 65_534, tUs: 0x4000_0000 });
    probe.readings({ index: 0, tUs: 0xa000_0000 });
    probe.readings({ index: 2, tUs: 0xffff_ff00 });
    probe.readings({ index: 4, tUs: 0x10 });
    expect(batches(items).map((b) => b.index)).toEqual([65_534, 65_536, 65_538, 65_540]);
    expect(batches(items).map((b) => b.tUs)).toEqual([0x4000_0000, 0xa000_0000, 0xffff_ff00, 2 ** 32 + 0x10]);
    expect(gaps(items)).toEqual([]);
  });

  test('the clock of the session begins with the one in the answer to hello', async () => {
    const { probe, items } = await streamingLink();
    // hello said 1000 us: this is later by three quarters of a turn, so it is a probe that was restarted or a line that
    // stood still; what is sure is that readings lie before the wrap
    probe.readings({ index: 0, tUs: 0x7000_0000 });
    expect(batches(items)[0]!.tUs).toBe(0x7000_0000);
  });

  test('an event that only a newer probe knows is counted and skipped', async () => {
    const { probe, link, told } = await streamingLink();
    probe.payload(65, probe.nextSeq(), 200, 0, 8, 0, 0, 0, 0);
    probe.readings({ index: 0, tUs: 3000 });
    expect(told()).toEqual(['readings']);
    expect(link.counters().unknownEvents).toBe(1);
  });

  test('a frame that comes twice counts once', async () => {
    const { probe, link, told } = await streamingLink();
    probe.readings({ index: 0, tUs: 2000, seq: 9 });
    probe.readings({ index: 0, tUs: 2000, seq: 9 });
    expect(told()).toEqual(['readings']);
    expect(link.counters().duplicates).toBe(1);
  });

  test('a body that is too short is counted and skipped', async () => {
    const { probe, link, told } = await streamingLink();
    probe.payload(64, 0, 1);
    expect(told()).toEqual([]);
    expect(link.counters().malformedMessages).toBe(1);
  });
});

describe('gaps', () => {
  test('frames that did not arrive, with the readings in them', async () => {
    const { probe, items, link, told } = await streamingLink();
    probe.readings({ index: 0, tUs: 2000 });
    probe.lose(3);
    probe.readings({ index: 26, tUs: 25_000 });
    probe.readings({ index: 28, tUs: 26_768 });
    expect(told()).toEqual(['readings', 'gap sequence 24', 'readings', 'readings']);
    expect(gaps(items)[0]).toMatchObject({ fromUs: 2000, toUs: 25_000 });
    expect(link.counters()).toMatchObject({ sequenceGaps: 1, missedNotices: 3, missedReadings: 24 });
  });

  test('frames without readings that did not arrive', async () => {
    const { probe, told } = await streamingLink();
    probe.readings({ index: 0, tUs: 2000 });
    probe.lose(1);
    probe.event('liveOn', 3000);
    expect(told()).toEqual(['readings', 'gap sequence 1', 'event liveOn']);
  });

  test('readings that the probe had to drop', async () => {
    const { probe, told, link } = await streamingLink();
    probe.readings({ index: 0, tUs: 2000 });
    probe.readings({ index: 7, tUs: 9000, lost: 5 });
    expect(told()).toEqual(['readings', 'gap lost-readings 5', 'readings']);
    expect(link.counters()).toMatchObject({ lostReadings: 5, missedReadings: 5, sequenceGaps: 0 });
  });

  test('are told once when the probe tells of them before their place comes', async () => {
    const { probe, told } = await streamingLink();
    probe.readings({ index: 0, tUs: 2000 });
    probe.readings({ index: 2, tUs: 3768, lost: 5 });
    probe.readings({ index: 9, tUs: 9000 });
    expect(told()).toEqual(['readings', 'gap lost-readings 5', 'readings', 'readings']);
  });

  test('readings missing without a word are told as well', async () => {
    const { probe, told } = await streamingLink();
    probe.readings({ index: 0, tUs: 2000 });
    probe.readings({ index: 4, tUs: 6000 });
    expect(told()).toEqual(['readings', 'gap lost-readings 2', 'readings']);
  });

  test('a stretch that the probe leaves out on purpose after a change of range has no index, and is no gap', async () => {
    const { probe, told } = await streamingLink();
    probe.readings({ index: 0, tUs: 2000 });
    probe.readings({ index: 2, tUs: 9000, range: 4 });
    expect(told()).toEqual(['readings', 'readings']);
  });

  test('a new start begins with index 0, and is no gap', async () => {
    const { probe, link, told, items } = await streamingLink();
    probe.readings({ index: 500, tUs: 2000 });
    await link.request({ type: 'start', rate: 'fast', batch: 16 });
    probe.readings({ index: 0, tUs: 9000 });
    expect(told()).toEqual(['readings', 'readings']);
    expect(batches(items).map((b) => b.index)).toEqual([500, 0]);
  });
});

describe('keeping the probe awake', () => {
  const keepAliveUs = timeoutTable.keepAlive.ms * 1000;

  test('goes by the clock of the probe, and not by that of the host', async () => {
    const { probe, timers } = await streamingLink();
    probe.got.length = 0;
    await timers.pass(1000);
    expect(probe.names).toEqual([]);
    for (let i = 0; i < 100; i++) {
      probe.readings({ index: 2 * i, tUs: 1000 + i * (keepAliveUs / 20) });
      await settle();
    }
    // 99 steps of 5 ms of probe time
    expect(probe.names).toEqual(Array(4).fill('keepAlive'));
  });

  test('any request counts', async () => {
    const { probe, link } = await streamingLink();
    probe.readings({ index: 0, tUs: keepAliveUs - 10 });
    await link.request({ type: 'tone', frequencyHz: 880, durationMs: 50 });
    probe.got.length = 0;
    probe.readings({ index: 2, tUs: keepAliveUs + 2000 });
    await settle();
    expect(probe.names).toEqual([]);
    probe.readings({ index: 4, tUs: 2 * keepAliveUs });
    await settle();
    expect(probe.names).toEqual(['keepAlive']);
  });

  test('a probe that never answers it is lost', async () => {
    const { probe, timers, told } = await streamingLink();
    probe.onRequest = () => null;
    for (let i = 1; i <= 20; i++) {
      probe.readings({ index: 2 * i, tUs: i * keepAliveUs });
      await timers.pass(100);
    }
    expect(told().at(-1)).toBe('disconnected');
  });
});
