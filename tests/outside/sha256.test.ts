import { describe, expect, test } from 'vitest';
import { sha256 } from '../../src/record/chain/chain.ts';
import { chainOf, wholeJob } from '../support/sample-job.ts';
import data from './data/sha256.json' with { type: 'json' };

// Source: FIPS 180-2 appendix B and NIST's example lists; see data/sha256.json for what is from memory.
describe('SHA-256', () => {
  test.each(data.text)('of the text "$text"', (each) => {
    expect(sha256(each.text)).toBe(each.sha256);
    expect(sha256(Buffer.from(each.text))).toBe(each.sha256);
  });

  test.each(data.repeat)('of $times times the byte $byteHex', (each) => {
    expect(sha256(Buffer.alloc(each.times, Number.parseInt(each.byteHex, 16)))).toBe(each.sha256);
  });

  test.each(data.hex)('of the bytes $hex', (each) => {
    expect(sha256(Buffer.from(each.hex, 'hex'))).toBe(each.sha256);
  });
});

describe('a record', () => {
  test('can be verified by cutting each body out of its line and hashing the raw bytes', () => {
    // no parser and none of the project's readers: any tool that can search and hash can do this
    const { bytes } = chainOf(wholeJob());
    let prev = '0'.repeat(64);
    const lines = bytes.toString('latin1').split('\n');
    expect(lines.pop()).toBe('');
    for (const line of lines) {
      expect(line.startsWith('{"body":')).toBe(true);
      const body = line.slice('{"body":'.length, line.length - ',"sha256":""}'.length - 64);
      const hash = line.slice(-66, -2);
      expect(line).toBe(`{"body":${body},"sha256":"${hash}"}`);
      expect(sha256(Buffer.from(body, 'latin1'))).toBe(hash);
      expect(body).toContain(`"prev":"${prev}"`);
      prev = hash;
    }
    expect(lines.length).toBeGreaterThan(10);
  });
});
