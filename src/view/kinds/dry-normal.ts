import { whyText } from '../words/outcome.ts';
import { attempted, dwellLines, type KindWords } from './kind-words.ts';

/** One touch at the dry and at the normal level. */
export const dryNormalWords: KindWords<'dry-normal'> = {
  stay: (check) => [...dwellLines(check), 'Stay on until both levels are read.'],
  action({ stage, kindProgress }, { dwellMs }) {
    if (stage !== 'touching') return null;
    const time = dwellMs === undefined ? '' : `, ${dwellMs / 1000} s`;
    return `Hold still: ${kindProgress === null ? 'dry' : 'normal'} level${time}.`;
  },
  step({ stage, kindProgress }) {
    if (kindProgress === null) return null;
    return stage === 'arming' || stage === 'touching' ? 'normal level' : null;
  },
  recorded: (entry) => `${attempted(entry)}: ${whyText(entry.why)}`,
};
