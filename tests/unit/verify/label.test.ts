// The label in the bag hands over the end of a record: what is cut off or made anew later does not fit it.
import { describe, expect, test } from 'vitest';
import { foldJob } from '../../../src/record/state/fold.ts';
import { labelCode } from '../../../src/report/handover/label.ts';
import { parseLabelCode } from '../../../src/verify/label-code.ts';
import { verifyRecord } from '../../../src/verify/verify.ts';
import { chainOf, wholeJob } from '../../support/sample-job.ts';

const whole = chainOf(wholeJob());
const head = (made: typeof whole) => verifyRecord(made.bytes).lastSha256!;
const label = parseLabelCode(labelCode({ state: foldJob(whole.entries), digest: head(whole), verifies: true }))!;
const codesOf = (bytes: Uint8Array, given = label) =>
  verifyRecord(bytes, { label: given }).departures.map(({ code }) => code);

describe('the code on a label', () => {
  test('hands over job, head and count', () => {
    expect(label).toEqual({ job: '2031-05-17-abcdef', sha256: head(whole), entries: whole.entries.length });
  });

  test('may be of before the count was printed; anything else is none', () => {
    const before = `ohmwright a-job passed ${'0'.repeat(64)}`;
    expect(parseLabelCode(before)).toEqual({ job: 'a-job', sha256: '0'.repeat(64), entries: null });
    for (const text of ['', 'ohmwright', `${before} x`, before.replace('ohmwright', 'other'), before.slice(0, -1)])
      expect(parseLabelCode(text)).toBeNull();
  });
});

describe('a record held against its label', () => {
  test('holds as it was, and with more behind it', () => {
    expect(codesOf(whole.bytes)).toEqual([]);
    const open = chainOf(wholeJob().slice(0, -1));
    const then = { job: label.job, sha256: head(open), entries: open.entries.length };
    expect(codesOf(whole.bytes, then)).toEqual([]);
  });

  test('departs when its end was cut off, or all of it was made anew', () => {
    expect(codesOf(chainOf(wholeJob().slice(0, -1)).bytes)).toEqual(['label.head']);
    expect(codesOf(chainOf(wholeJob(), Date.UTC(2032, 0, 1)).bytes)).toEqual(['label.head']);
  });

  test('departs from the label of another job, or another count', () => {
    expect(codesOf(whole.bytes, { ...label, job: 'another' })).toEqual(['label.job']);
    expect(codesOf(whole.bytes, { ...label, entries: 3 })).toEqual(['label.head']);
  });
});
