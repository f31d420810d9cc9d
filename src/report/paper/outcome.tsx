import type { Outcome } from '../../measure/types.ts';
import { marks } from '../../view/words/mark.ts';
import { outcomeWords, type Tone } from '../../view/words/outcome.ts';

/**
 * Returns the class that gives a tone its colour on paper; what is neither good nor bad stays open.
 */
export function toneClass(tone: Tone): string {
  return tone === 'pass' ? 'tone-good' : tone === 'fail' ? 'tone-bad' : 'tone-open';
}

/** An outcome as mark and word; its colour says nothing that they do not. */
export function OutcomeWord({ outcome }: { outcome: Outcome }) {
  const { word, mark, tone } = outcomeWords[outcome];
  return (
    <span className={`word ${toneClass(tone)}`}>
      <span aria-hidden="true">{marks[mark].unicode} </span>
      {word}
    </span>
  );
}
