import { whyText } from '../words/outcome.ts';
import { attempted, type KindWords } from './kind-words.ts';

/** Presses of a key, at each beep. */
export const pressesWords: KindWords<'presses'> = {
  stay: () => [],
  action: ({ stage }, _check, asked) => (stage === 'touching' ? asked : null),
  step: () => null,
  recorded(entry) {
    const closures = entry.presses.filter(({ missed }) => !missed).length;
    return `${attempted(entry)}: ${closures} closures of ${entry.count} presses - ${whyText(entry.why)}`;
  },
};
