import type { Prompt } from '../../ports/prompt.ts';
import type { JobSessionEvent } from '../job/job-session-state.ts';
import type { JobStep } from '../job/job-step.ts';
import { askToLiftFirst } from './lift-first.ts';
import { askRefusedAgain, meetLive } from './voltage-on-tips.ts';

/** How a task sets the probe, and what it then asks for. */
export interface Arming {
  arm(step: JobStep): void;
  prompt(step: JobStep): Omit<Prompt, 'id'>;
}

/**
 * Takes the events by which the probe is set for a task: set, refused for a voltage on the tips,
 * tips that stand on something already. Returns what the task is to return, or null for an event
 * that is the task's own.
 */
export function stepArming({ arm, prompt }: Arming, step: JobStep, event: JobSessionEvent): boolean | null {
  const run = step.run;
  switch (event.type) {
    case 'mode-set':
      if (run.refusedUs !== null) return true;
      if (run.stage !== 'arming') return false;
      run.stage = 'waiting';
      step.prompt(prompt(step));
      return false;
    case 'mode-refused':
      meetLive(step, 'before');
      return false;
    case 'standing':
      askToLiftFirst(step);
      return false;
    case 'clock':
      if (askRefusedAgain(step, event.tUs)) arm(step);
      return null;
    default:
      return null;
  }
}
