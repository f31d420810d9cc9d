import { describe, expect, test } from 'vitest';
import { settle } from './manual-timers.ts';
import { streamingLink } from './open-link.ts';

const sound = Uint16Array.of(400, 401);

describe('a batch of readings that no probe can have taken', () => {
  test.each([
    // 16 conversions of ten bits: firmware-protocol/protocol.md
    ['a code above 16 times 1023', { codes: Uint16Array.of(400, 65535) }],
    ['no codes', { codes: Uint16Array.of() }],
    ['readings that take no time', { periodUs: 0 }],
    ['a time that stands still', { tUs: 5_000_000 }],
    ['a time that runs back', { tUs: 4_990_000 }],
  ])('%s: is dropped, counted and told as a gap', async (_name, fields) => {
    const { probe, told, link } = await streamingLink();
    probe.readings({ index: 0, tUs: 5_000_000, codes: sound });
    probe.readings({ index: 2, tUs: 5_001_768, codes: sound, ...fields });
    const dropped = 'codes' in fields ? fields.codes.length : 2;
    expect(told()).toEqual(['readings', `gap lost-readings ${dropped}`]);
    expect(link.counters().malformedMessages).toBe(1);
  });

  test('the largest code that the converter can give is none', async () => {
    const { probe, told } = await streamingLink();
    probe.readings({ index: 0, tUs: 5_000_000, codes: Uint16Array.of(16368, 0) });
    expect(told()).toEqual(['readings']);
  });

  test('too many of them: the link is lost, and the port is closed', async () => {
    const { probe, told } = await streamingLink();
    probe.readings({ index: 0, tUs: 5_000_000 });
    for (let i = 0; i < 1000; i++) probe.readings({ index: 2 * i, tUs: 5_000_000, seq: (7 * i) % 256 });
    await settle();
    expect(told().at(-1)).toBe('disconnected');
    expect(told().length).toBeLessThan(25);
    expect(probe.transport.isOpen).toBe(false);
  });

  test('a few among sound ones are lived with', async () => {
    const { probe, told } = await streamingLink();
    for (let i = 0; i < 1000; i++) {
      const codes = i % 10 === 0 ? Uint16Array.of(65535) : sound;
      probe.readings({ index: 2 * i, tUs: 5_000_000 + i * 2000, codes });
    }
    expect(told()).not.toContain('disconnected');
  });
});
