import type { Check } from '../../guide/types.ts';
import type { JobStep } from '../job/job-step.ts';
import type { TaskHandler } from './handler.ts';

/** What a probe must be able to do for a check, and how that is called. */
const words = {
  bridge: 'has no bridge to close two pads with',
  dryLevel: 'has no dry level',
} as const;

/**
 * Returns a check's handler that skips it, with the reason on record, where the probe can not do
 * what it takes.
 */
export function needing(capability: keyof typeof words, check: Check, handler: TaskHandler): TaskHandler {
  const isMissing = ({ state }: JobStep): boolean => state.probe?.identity.capabilities.includes(capability) === false;
  return {
    takesButton: (step) => handler.takesButton?.(step) === true,
    start(step) {
      if (!isMissing(step)) {
        handler.start(step);
        return;
      }
      step.restart();
      step.run.stage = 'recording';
      step.append({ kind: 'skipped', check: check.id, reason: `this probe ${words[capability]}`, by: 'option' });
    },
    on(step, event) {
      if (!isMissing(step)) return handler.on(step, event);
      if (event.type !== 'appended' || event.entry.kind !== 'skipped') return false;
      step.run.stage = 'done';
      return true;
    },
  };
}
