import type { Outcome } from '../../measure/types.ts';
import { outcomeWords } from '../../view/words/result.ts';

/** An outcome as mark and word; its colour says nothing that they do not. */
export function OutcomeWord({ outcome }: { outcome: Outcome }) {
  const { word, mark, tone } = outcomeWords[outcome];
  return (
    <span className={`word tone-${tone}`}>
      <span aria-hidden="true">{mark} </span>
      {word}
    </span>
  );
}
