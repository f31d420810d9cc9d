import type { Outcome } from '../../measure/types.ts';
import type { JobResult } from '../../record/state/job-state.ts';

/** What a job came to: a word, and a sentence for whoever was not there. */
export const resultWords: Record<JobResult, { word: string; sentence: string }> = {
  passed: {
    word: 'passed',
    sentence: 'Every check of the guide passed, and the probe proved itself before and after.',
  },
  repaired: {
    word: 'repaired',
    sentence:
      'A fault was found and repaired; the same checks passed afterwards, with a probe that proved itself before and after.',
  },
  'no-fault-found': {
    word: 'no fault found',
    sentence:
      'What was checked gave no sign of a fault. That is no proof that there is none: not everything was checked.',
  },
  failed: {
    word: 'fault found',
    sentence: 'A fault was found, and the probe proved itself before and after. It is not repaired on this record.',
  },
  inconclusive: {
    word: 'inconclusive',
    sentence: 'Something stayed unknown, or the probe did not prove itself. Nothing is claimed.',
  },
  abandoned: { word: 'abandoned', sentence: 'The job was given up before its end.' },
};

/** Outcomes as word, mark and kind of colour; a mark and a word always stand together. */
export const outcomeWords: Record<Outcome, { word: string; mark: string; tone: 'good' | 'bad' | 'open' }> = {
  pass: { word: 'pass', mark: '\u2713', tone: 'good' },
  fail: { word: 'fail', mark: '\u2717', tone: 'bad' },
  borderline: { word: 'borderline', mark: '~', tone: 'open' },
  unsteady: { word: 'unsteady', mark: '?', tone: 'open' },
  'no-contact': { word: 'no contact', mark: '\u2013', tone: 'open' },
  live: { word: 'voltage on the tips', mark: '!', tone: 'open' },
};
