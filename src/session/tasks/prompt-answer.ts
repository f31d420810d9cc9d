import type { JobSessionEvent } from '../job/job-session-state.ts';
import type { JobStep } from '../job/job-step.ts';

/** Returns the answer to what the task asks; null for any other event. */
export function answerTo(step: JobStep, event: JobSessionEvent): Extract<JobSessionEvent, { type: 'answer' }> | null {
  if (event.type !== 'answer' || step.run.stage !== 'asking') return null;
  return event.prompt === step.run.prompt?.id ? event : null;
}
