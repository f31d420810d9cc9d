import type { Check } from '../../guide/types.ts';
import type { StoredOf } from '../../record/kinds/stored-kinds.ts';
import type { TaskRun } from '../../session/job/job-session-state.ts';
import { whyText } from '../words/outcome.ts';
import { attempted, dwellLines, holdStill, type KindWords } from './kind-words.ts';

/** One touch that is read once it has settled. */
const readingWords = {
  stay: dwellLines,
  action: ({ stage }: TaskRun, check: Check) => (stage === 'touching' ? holdStill(check) : null),
  step: () => null,
  recorded: (entry: StoredOf<'resistance' | 'voltage'>) => `${attempted(entry)}: ${whyText(entry.why)}`,
};

export const resistanceWords: KindWords<'resistance'> = readingWords;
export const voltageWords: KindWords<'voltage'> = readingWords;
