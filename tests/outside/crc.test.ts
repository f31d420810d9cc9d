// Published check values (source in data/crc.json) against the CRC of the wire protocol.
import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { crc16 } from '../../src/protocol/crc16.ts';

interface Data {
  ibm3740: Record<string, string>;
  neighbours_123456789: Record<string, string>;
}
const data: Data = JSON.parse(readFileSync(new URL('data/crc.json', import.meta.url), 'utf8'));
const bytesOf = (text: string) =>
  text.startsWith('ascii:') ? Buffer.from(text.slice(6), 'latin1') : Buffer.from(text.slice(4), 'hex');
const hex = (crc: number) => crc.toString(16).padStart(4, '0');

describe('CRC-16/IBM-3740', () => {
  test.each(Object.entries(data.ibm3740))('%s is %s', (input, crc) => {
    expect(hex(crc16(bytesOf(input)))).toBe(crc);
  });

  test('is 0 over data followed by its own value, high byte first (the published residue)', () => {
    const bytes = Buffer.from('31323334353637383929b1', 'hex');
    expect(crc16(bytes)).toBe(0);
  });

  test('is none of its neighbours that go by the same name', () => {
    const ours = hex(crc16(Buffer.from('123456789')));
    expect(Object.values(data.neighbours_123456789)).not.toContain(ours);
  });

  test('goes on over parts as over the whole', () => {
    const bytes = Buffer.from('123456789');
    expect(crc16(bytes, 4, 9, crc16(bytes, 0, 4))).toBe(crc16(bytes));
  });
});
