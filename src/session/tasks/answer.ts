import type { BenchEvent } from '../job/job-session-state.ts';
import type { Turn } from '../job/transition.ts';

/** Returns the answer to what the task asks; null for any other event. */
export function answerTo(turn: Turn, event: BenchEvent): Extract<BenchEvent, { type: 'answer' }> | null {
  if (event.type !== 'answer' || turn.run.stage !== 'asking') return null;
  return event.prompt === turn.run.prompt?.id ? event : null;
}
