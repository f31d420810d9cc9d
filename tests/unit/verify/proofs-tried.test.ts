import { describe, expect, test } from 'vitest';
import { foldJob } from '../../../src/record/state/fold.ts';
import { verifyRecord } from '../../../src/verify/verify.ts';
import { inShort } from '../../../src/view/words/in-short.ts';
import { summaryLines } from '../../../src/view/words/summary.ts';
import { captured, chainOf, observation, opened, presses, probe, proof, proofs } from '../../support/sample-job.ts';

const done = [captured('spring', 0.4), presses('key', [0.2, 0.3, 0.25]), observation('lens', 'no')];
const start = [opened, probe(), ...proofs('opening'), ...done];
const once = chainOf([...start, ...proofs('closing')]);
const repeated = chainOf([...start, proof('closing', 'shorted-tips', 5), ...proofs('closing')]);

describe('a closing proof that fails and is repeated until it passes', () => {
  test('stays in the state, beside proofs that held', () => {
    expect(foldJob(once.entries)).toMatchObject({ failedProofs: [], proofs: { standing: 'held' } });
    expect(foldJob(repeated.entries)).toMatchObject({ failedProofs: [8], proofs: { standing: 'held' } });
  });

  test('holds after two tries that failed, and after no more: whoever goes on chooses the try that suits', () => {
    const by = (rules: number, tries: number) => {
      const failing = Array.from({ length: tries }, () => proof('closing', 'shorted-tips', 5));
      const begun = [{ ...opened, rules }, ...start.slice(1)];
      return foldJob(chainOf([...begun, ...failing, ...proofs('closing')]).entries).proofs.standing;
    };
    expect([0, 1, 2, 3, 9].map((tries) => by(2, tries))).toEqual(['held', 'held', 'held', 'failed', 'failed']);
    // the rules of before knew no end of it, and their records say so for ever
    expect(by(1, 9)).toBe('held');
  });

  test('is told by verify, by its entry', () => {
    expect(verifyRecord(once.bytes).notes.map(({ code }) => code)).not.toContain('proof.tried');
    expect(verifyRecord(repeated.bytes).notes).toContainEqual(expect.objectContaining({ code: 'proof.tried', n: 8 }));
  });

  test('is told with the result, which is worded otherwise than without it', () => {
    const [first, second] = [once, repeated].map(({ entries }) => foldJob(entries));
    expect(summaryLines(second!).at(-1)).not.toBe(summaryLines(first!).at(-1));
    expect(inShort(second!, repeated.entries, null)).not.toEqual(inShort(first!, once.entries, null));
  });
});
