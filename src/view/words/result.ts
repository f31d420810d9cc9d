import type { JobResult } from '../../record/state/job-state.ts';
import type { Mark } from './mark.ts';
import type { Tone } from './outcome.ts';

/** How a result is told: a word with its mark, and a sentence for whoever was not there. */
export interface ResultWords {
  word: string;
  mark: Mark;
  tone: Tone;
  sentence: string;
}

/** Every result that a job can come to. */
export const resultWords: Record<JobResult, ResultWords> = {
  passed: {
    word: 'passed',
    mark: 'pass',
    tone: 'pass',
    sentence: 'Every check of the guide passed, and the probe proved itself before and after.',
  },
  repaired: {
    word: 'repaired',
    mark: 'changed',
    tone: 'pass',
    sentence:
      'A fault was found and repaired; the same checks passed afterwards, with a probe that proved itself before and after.',
  },
  'no-fault-found': {
    word: 'no fault found',
    mark: 'question',
    tone: 'doubt',
    sentence:
      'What was checked gave no sign of a fault. That is no proof that there is none: not everything was checked.',
  },
  failed: {
    word: 'fault found',
    mark: 'fail',
    tone: 'fail',
    sentence: 'A fault was found, and the probe proved itself before and after. It is not repaired on this record.',
  },
  inconclusive: {
    word: 'inconclusive',
    mark: 'question',
    tone: 'doubt',
    sentence: 'Something stayed unknown, or the probe did not prove itself. Nothing is claimed.',
  },
  abandoned: {
    word: 'abandoned',
    mark: 'skipped',
    tone: 'doubt',
    sentence: 'The job was given up before its end.',
  },
};

/** What stands in place of a result where the record does not verify: then no result is claimed. */
export const unverified: ResultWords = {
  word: 'this record does not verify',
  mark: 'fail',
  tone: 'fail',
  sentence: 'The record was changed or damaged, or does not bear out what it claims. Nothing in it is to be relied on.',
};
