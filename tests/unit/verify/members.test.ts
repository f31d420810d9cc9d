// Nothing stands in a line outside its hash and its commitments.
import { describe, expect, test } from 'vitest';
import { canonicalJson } from '../../../src/record/chain/canonical.ts';
import { checkChain } from '../../../src/verify/chain-check.ts';
import { verifyRecord } from '../../../src/verify/verify.ts';
import { keptRecord } from './forged.ts';

/** The kept record with its second line, which holds the customer apart, changed as JSON. */
function withLine(change: (line: Record<string, unknown>) => void): Buffer {
  const lines = keptRecord('format-1-signed').toString('utf8').split('\n');
  const line = JSON.parse(lines[1]!) as Record<string, unknown>;
  change(line);
  lines[1] = canonicalJson(line);
  return Buffer.from(lines.join('\n'));
}

const apart = { contact: { salt: '0'.repeat(32), text: 'x' } };

describe('a line that holds words apart', () => {
  test('is good as it is, and with the words taken away', () => {
    expect(verifyRecord(withLine(() => undefined)).ok).toBe(true);
    expect(verifyRecord(withLine((line) => delete line.apart)).ok).toBe(true);
  });

  test.each<[string, (line: Record<string, unknown>) => void]>([
    ['a foreign member', (line) => Object.assign(line, { more: 'x'.repeat(1_450_000) })],
    ['a foreign member before it', (line) => Object.assign(line, { aaa: 1 })],
    ['nothing apart', (line) => Object.assign(line, { apart: {} })],
    ['a foreign field apart', (line) => Object.assign(line.apart as object, { other: apart.contact })],
    [
      'a foreign member in a field apart',
      (line) => Object.assign(line, { apart: { name: { ...apart.contact, more: 1 } } }),
    ],
    ['other words', (line) => Object.assign(line, { apart })],
  ])('does not hold with %s', (_what, change) => {
    const bytes = withLine(change);
    expect(verifyRecord(bytes).departures.map(({ line }) => line)).toContain(2);
    expect(checkChain(bytes)).toMatchObject({ ok: false, badLine: 2 });
  });

  test('is found with bytes behind it, in front of it, and beside any other line', () => {
    const lines = keptRecord('format-1-signed').toString('utf8').split('\n');
    for (let at = 0; at < lines.length - 1; at++) {
      for (const changed of [`${lines[at]} `, ` ${lines[at]}`, lines[at]!.replace(/\}$/, ',"x":1}')]) {
        const bytes = Buffer.from(lines.with(at, changed).join('\n'));
        expect(verifyRecord(bytes, { rederive: false }).ok).toBe(false);
        expect(checkChain(bytes).ok).toBe(false);
      }
    }
  });
});
