import { labelCodeText, parseLabelCode } from '../../../src/verify/label-code.ts';
import type { FuzzTarget } from '../target.ts';
import { bytesOf, textOf } from './text.ts';

const head = { job: '2031-05-17-abcdef', sha256: 'ab'.repeat(32), entries: 19 };

/** The words in the code on a label. What is taken can be written again. */
export const label: FuzzTarget = {
  name: 'label',
  executions: 200_000,
  mostBytes: 300,
  mostSteps: { base: 500, aByte: 10 },
  words: ['ohmwright ', ' passed ', 'ab'.repeat(32), '\u00a0', ' 999999999'],
  seeds: () => [labelCodeText(head, 'passed'), labelCodeText({ ...head, entries: null }, 'open')].map(bytesOf),
  run(bytes) {
    const parsed = parseLabelCode(textOf(bytes));
    if (parsed === null) return null;
    const again = parseLabelCode(labelCodeText(parsed, 'passed'));
    if (JSON.stringify(again) !== JSON.stringify(parsed)) throw new Error('a code read twice is two');
    return parsed;
  },
};
