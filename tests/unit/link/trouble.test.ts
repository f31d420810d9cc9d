import { describe, expect, test } from 'vitest';
import { portError } from '../../../src/link/serial/port-errors.ts';
import { timeoutTable } from '../../../src/protocol/table.ts';
import { settle } from './manual-timers.ts';
import { openLink, streamingLink } from './open-link.ts';

const silenceMs = timeoutTable.silence.ms;
const silenceAndOneLookMs = (silenceMs * 6) / 5;

describe('a probe that restarts in mid-session', () => {
  test('is told as disconnected, gap and connected, and its clock begins anew', async () => {
    const { probe, items, told, link } = await streamingLink();
    probe.readings({ index: 0, tUs: 5_000_000 });
    probe.clockUs = 700;
    probe.boot();
    await settle();
    expect(told()).toEqual(['readings', 'disconnected', 'gap reset null', 'connected']);
    expect(items[2]).toMatchObject({ fromUs: 5_000_000, toUs: null });
    expect(items[3]).toMatchObject({ identity: { bootCount: 2 } });
    await link.request({ type: 'start', rate: 'standard', batch: 8 });
    probe.readings({ index: 0, tUs: 900 });
    expect(items.at(-1)).toMatchObject({ batch: { index: 0, tUs: 900 } });
    expect(link.counters()).toMatchObject({ resets: 1, reconnects: 0, sequenceGaps: 0 });
    expect(probe.transports).toHaveLength(1);
  });

  test('what was asked of it fails with a word for it', async () => {
    const { probe, link } = await streamingLink();
    probe.onRequest = ({ name }) => (name === 'tone' ? null : 'ok');
    const asked = expect(link.request({ type: 'tone', frequencyHz: 880, durationMs: 50 })).rejects.toMatchObject({
      code: 'link.reset',
    });
    await settle();
    probe.boot();
    await asked;
    await settle();
    expect((await link.request({ type: 'keepAlive' })).status).toBe('ok');
  });

  test('is seen by its clock when its boot notice was lost', async () => {
    const { probe, told } = await streamingLink();
    probe.readings({ index: 0, tUs: 60_000_000 });
    probe.readings({ index: 0, tUs: 400_000 });
    await settle();
    expect(told()).toEqual(['readings', 'disconnected', 'gap reset null', 'connected']);
  });

  test('is not seen in readings that are a little out of order', async () => {
    const { probe, told } = await streamingLink();
    probe.event('buttonDown', 10_000);
    probe.readings({ index: 0, tUs: 9_000 });
    expect(told()).toEqual(['event buttonDown', 'readings']);
  });

  test('that stays away after its restart is lost', async () => {
    const { probe, timers, told } = await streamingLink();
    probe.onRequest = () => null;
    probe.boot();
    await timers.pass(2 * timeoutTable.helloAfterOpen.ms);
    expect(told()).toEqual(['disconnected', 'gap reset null', 'disconnected']);
    expect(probe.transport.isOpen).toBe(false);
  });

  test('and again while it is greeted, is told once', async () => {
    const { probe, told, timers, link } = await streamingLink();
    probe.onRequest = () => (probe.bootCount < 4 ? null : 'ok');
    probe.boot();
    await settle();
    probe.boot();
    probe.boot();
    await timers.pass(timeoutTable.answer.ms);
    expect(told()).toEqual(['disconnected', 'gap reset null', 'connected']);
    expect(link.identity.bootCount).toBe(4);
  });
});

test('a probe that switched off as it heard nothing is greeted anew, with the stretch named', async () => {
  const { probe, items, told } = await streamingLink();
  probe.readings({ index: 0, tUs: 1_000_000 });
  probe.clockUs = 4_600_000;
  probe.event('heartbeatLost', 4_500_000);
  await settle();
  expect(told()).toEqual(['readings', 'event heartbeatLost', 'disconnected', 'gap silence null', 'connected']);
  expect(items[3]).toMatchObject({ fromUs: 4_500_000, toUs: 4_600_000 });
});

describe('a link that breaks', () => {
  test('by silence while readings are expected', async () => {
    const { timers, items, told } = await streamingLink();
    await timers.pass(silenceAndOneLookMs);
    expect(told()).toEqual(['disconnected']);
    expect(items[0]).toMatchObject({ why: expect.stringContaining(`${silenceMs} ms`) });
  });

  test('not by silence while no readings are expected', async () => {
    const { timers, link, told } = await openLink();
    await link.request({ type: 'start', rate: 'standard', batch: 8 });
    await link.request({ type: 'stop' });
    await timers.pass(10 * silenceMs);
    expect(told()).toEqual(['connected']);
  });

  test('not by readings that are just in time', async () => {
    const { timers, probe, told } = await streamingLink();
    for (let i = 0; i < 5; i++) {
      await timers.pass(silenceMs - 200);
      probe.readings({ index: 2 * i, tUs: 2000 + 1768 * i });
    }
    expect(told()).toEqual(Array(5).fill('readings'));
  });

  test('by a port that closes: told once, with the reason', async () => {
    const { probe, items, told, timers, link } = await streamingLink();
    probe.transport.drop('the port is gone: unplugged?');
    await timers.pass(20_000);
    expect(told()).toEqual(['disconnected']);
    expect(items[0]).toMatchObject({ why: 'the port is gone: unplugged?' });
    expect(probe.transports).toHaveLength(1);
    await expect(link.request({ type: 'keepAlive' })).rejects.toMatchObject({ code: 'link.lost' });
    await link.close();
    expect(timers.count).toBe(0);
  });
});

describe('coming back', () => {
  test('the same probe, still running: gap with both ends, connected', async () => {
    const { probe, timers, items, told, link } = await streamingLink({ reconnect: true });
    probe.readings({ index: 0, tUs: 2_000_000 });
    probe.clockUs = 2_700_000;
    probe.transport.drop('unplugged');
    await timers.pass(250);
    expect(told()).toEqual(['readings', 'disconnected', 'gap closed null', 'connected']);
    expect(items[2]).toMatchObject({ fromUs: 2_000_000, toUs: 2_700_000 });
    expect(probe.transports).toHaveLength(2);
    expect(link.counters()).toMatchObject({ reconnects: 1, sequenceGaps: 0 });
    await link.request({ type: 'start', rate: 'standard', batch: 8 });
    probe.readings({ index: 0, tUs: 2_800_000 });
    expect(told().at(-1)).toBe('readings');
  });

  test('the same probe, restarted: the gap has no end on its clock', async () => {
    const { probe, timers, items } = await streamingLink({ reconnect: true });
    probe.readings({ index: 0, tUs: 2_000_000 });
    probe.bootCount = 2;
    probe.transport.drop('unplugged');
    await timers.pass(250);
    expect(items[2]).toMatchObject({ kind: 'gap', cause: 'closed', fromUs: 2_000_000, toUs: null });
  });

  test('after silence, the gap says so', async () => {
    const { timers, told } = await streamingLink({ reconnect: true });
    await timers.pass(silenceAndOneLookMs + 250);
    expect(told()).toEqual(['disconnected', 'gap silence null', 'connected']);
  });

  test('pauses grow from a quarter of a second to four; a port that is not there is not told each time', async () => {
    const { probe, timers, told } = await streamingLink({ reconnect: true });
    probe.openError = portError('test-port', new Error('No such file or directory'), { platform: 'linux' });
    probe.transport.drop('unplugged');
    const opened: number[] = [];
    for (let ms = 0; ms < 16_000; ms += 50) {
      const before = probe.transports.length;
      await timers.pass(50);
      if (probe.transports.length > before) opened.push(ms + 50);
    }
    const pauses = opened.map((at, i) => at - (opened[i - 1] ?? 0));
    expect(pauses).toEqual([250, 500, 1000, 2000, 4000, 4000, 4000]);
    expect(told()).toEqual(['disconnected']);
    probe.openError = null;
    await timers.pass(4000);
    expect(told().at(-1)).toBe('connected');
  });

  test('what keeps the port from being opened is told once', async () => {
    const { probe, timers, items } = await streamingLink({ reconnect: true });
    probe.openError = portError('test-port', new Error('Permission denied'), { platform: 'linux', group: 'dialout' });
    probe.transport.drop('unplugged');
    await timers.pass(10_000);
    const told = items.map((item) => (item.kind === 'disconnected' ? item.why : item.kind));
    expect(told).toHaveLength(2);
    expect(told[1]).toContain('dialout');
  });

  test('another probe is refused with both numbers, and the first one is still welcome', async () => {
    const { probe, timers, items, told } = await streamingLink({ reconnect: true });
    probe.serial = 2002;
    probe.transport.drop('unplugged');
    await timers.pass(2000);
    expect(told()).toEqual(['disconnected', 'disconnected']);
    expect(items[1]).toMatchObject({ why: expect.stringMatching(/2002.*1001/) });
    expect(probe.transports.every((transport) => !transport.isOpen)).toBe(true);
    probe.serial = 1001;
    await timers.pass(4000);
    expect(told().slice(2)).toEqual(['gap closed null', 'connected']);
  });

  test('closing the link ends the search', async () => {
    const { probe, timers, link } = await streamingLink({ reconnect: true });
    probe.openError = portError('test-port', new Error('No such file or directory'), { platform: 'linux' });
    probe.transport.drop('unplugged');
    await timers.pass(300);
    await link.close();
    const tries = probe.transports.length;
    await timers.pass(20_000);
    expect(probe.transports).toHaveLength(tries);
    expect(timers.count).toBe(0);
  });

  test('the signal ends it as well', async () => {
    const abort = new AbortController();
    const { probe, timers } = await streamingLink({ reconnect: true, signal: abort.signal });
    probe.transport.drop('unplugged');
    abort.abort();
    await timers.pass(20_000);
    expect(probe.transports).toHaveLength(1);
  });

  test('counts go on over a reconnect', async () => {
    const { probe, timers, link } = await streamingLink({ reconnect: true });
    probe.send(Uint8Array.of(0xc0, 0xdb, 0, 0xc0));
    const before = link.counters();
    probe.transport.drop('unplugged');
    await timers.pass(250);
    const after = link.counters();
    expect(after.badEscapes).toBe(1);
    expect(after.bytes).toBeGreaterThan(before.bytes);
    expect(after.frames).toBe(before.frames + 2);
  });
});
