import type { JobStep } from '../job/job-step.ts';

/**
 * The tips stand on something already, and where is not known: the person is told to take them off
 * first.
 *
 * What was asked stays asked: hands that are on their way there need no new order.
 */
export function askToLiftFirst(step: JobStep): void {
  const run = step.run;
  if (run.stage !== 'waiting' || run.prompt === null) return;
  run.asked = run.prompt;
  run.lifted = false;
  step.prompt({ act: 'wait', why: 'standing' });
}

/**
 * Asks again for what the task wants, once tips that stood on something have been lifted; it is the
 * same prompt, by its id.
 */
export function askAfterStanding(step: JobStep): void {
  const run = step.run;
  if (run.asked === null || run.stage !== 'waiting') return;
  run.prompt = run.asked;
  run.asked = null;
  step.effects.push({ do: 'prompt', prompt: { ...run.prompt, again: true } });
}
