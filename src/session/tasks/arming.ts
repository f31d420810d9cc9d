import type { Prompt } from '../../ports/prompt.ts';
import type { BenchEvent } from '../job/job-session-state.ts';
import type { Turn } from '../job/transition.ts';
import { askRefusedAgain, meetLive } from './live.ts';
import { askToLiftFirst } from './standing.ts';

/** How a task sets the probe, and what it then asks for. */
export interface Arming {
  arm(turn: Turn): void;
  prompt(turn: Turn): Omit<Prompt, 'id'>;
}

/**
 * Takes the events by which the probe is set for a task: set, refused for a voltage on the tips, tips that stand on something already.
 * Returns what the task is to return, or null for an event that is the task's own.
 */
export function stepArming({ arm, prompt }: Arming, turn: Turn, event: BenchEvent): boolean | null {
  const run = turn.run;
  switch (event.type) {
    case 'mode-set':
      if (run.refusedUs !== null) return true;
      if (run.stage !== 'arming') return false;
      run.stage = 'waiting';
      turn.prompt(prompt(turn));
      return false;
    case 'mode-refused':
      meetLive(turn, 'before');
      return false;
    case 'standing':
      askToLiftFirst(turn);
      return false;
    case 'clock':
      if (askRefusedAgain(turn, event.tUs)) arm(turn);
      return null;
    default:
      return null;
  }
}
