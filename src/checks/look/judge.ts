import type { Outcome } from '../../measure/types.ts';
import type { Judged } from '../kind.ts';

/** What a person answered, and which answer passes. */
export interface RawAnswer {
  answer: 'yes' | 'no' | 'unsure';
  passAnswer: 'yes' | 'no';
}

/** Returns what an answer comes to: unsure is borderline, neither a pass nor a fail. */
export function judgeLook({ answer, passAnswer }: RawAnswer): Judged {
  const outcome: Outcome = answer === 'unsure' ? 'borderline' : answer === passAnswer ? 'pass' : 'fail';
  return { reading: null, outcome, why: `answered ${answer}` };
}
