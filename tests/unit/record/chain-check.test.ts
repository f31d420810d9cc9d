import { describe, expect, test } from 'vitest';
import { parseRecord } from '../../../src/record/chain/parse-record.ts';
import { checkChain } from '../../../src/verify/chain-check.ts';
import { chainOf, opened, probe, wholeJob } from '../../support/sample-job.ts';

describe('the bare chain of a record', () => {
  test('holds for a whole record, and its head is the hash of the last line', () => {
    const { bytes } = chainOf(wholeJob());
    const lines = parseRecord(bytes).lines;
    expect(checkChain(bytes)).toEqual({ ok: true, lines: lines.length, badLine: null, head: lines.at(-1)?.sha256 });
  });

  test('is not taken in by the words of a note', () => {
    const text = `,"prev":"${'0'.repeat(64)}","kind":"opened"`;
    expect(checkChain(chainOf([opened, { kind: 'note', text }, probe()]).bytes).ok).toBe(true);
  });

  test('breaks with any changed byte, at the line that has it or the one behind', () => {
    const { bytes, lines } = chainOf([opened, { kind: 'note', text: 'a' }, { kind: 'note', text: 'b' }]);
    for (let at = 0; at < bytes.length; at++) {
      const changed = Buffer.from(bytes);
      changed[at]! ^= 1;
      const { ok, badLine } = checkChain(changed);
      expect(ok).toBe(false);
      const inFirst = at < lines[0]!.length;
      expect(badLine === 1).toBe(inFirst);
    }
  });

  test('breaks where a line is missing, twice there, or cut short; an empty file is no chain', () => {
    const { lines, bytes } = chainOf(wholeJob());
    expect(checkChain(Buffer.concat([lines[0]!, ...lines.slice(2)])).badLine).toBe(2);
    expect(checkChain(Buffer.concat([lines[0]!, lines[0]!, ...lines.slice(1)])).badLine).toBe(2);
    expect(checkChain(bytes.subarray(0, bytes.length - 1)).badLine).toBe(lines.length);
    expect(checkChain(Buffer.alloc(0)).ok).toBe(false);
  });
});
