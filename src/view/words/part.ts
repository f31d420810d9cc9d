import type { Mark } from './mark.ts';
import type { Tone } from './outcome.ts';

/** How a part of the device stands after a job. */
export type PartState = 'at-fault' | 'suspect' | 'cleared' | 'changed' | 'unknown';

/** Every state of a part as word, mark and tone. */
export const partWords: Record<PartState, { word: string; mark: Mark; tone: Tone }> = {
  'at-fault': { word: 'at fault', mark: 'fail', tone: 'fail' },
  suspect: { word: 'in question', mark: 'question', tone: 'doubt' },
  cleared: { word: 'cleared', mark: 'pass', tone: 'pass' },
  changed: { word: 'repaired', mark: 'changed', tone: 'strong' },
  unknown: { word: 'not decided', mark: 'none', tone: 'quiet' },
};
