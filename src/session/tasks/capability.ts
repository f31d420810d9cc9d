import type { Check } from '../../guide/types.ts';
import type { Turn } from '../job/transition.ts';
import type { TaskHandler } from './handler.ts';

/** What a probe must be able to do for a check, and how that is called. */
const words = {
  bridge: 'has no bridge to close two pads with',
  dryLevel: 'has no dry level',
} as const;

/** Returns a check's handler that skips it, with the reason on record, where the probe can not do what it takes. */
export function needing(capability: keyof typeof words, check: Check, handler: TaskHandler): TaskHandler {
  const isMissing = ({ state }: Turn): boolean => state.probe?.identity.capabilities.includes(capability) === false;
  return {
    takesButton: (turn) => handler.takesButton?.(turn) === true,
    start(turn) {
      if (!isMissing(turn)) {
        handler.start(turn);
        return;
      }
      turn.restart();
      turn.run.stage = 'recording';
      turn.append({ kind: 'skipped', check: check.id, reason: `this probe ${words[capability]}`, by: 'option' });
    },
    on(turn, event) {
      if (!isMissing(turn)) return handler.on(turn, event);
      if (event.type !== 'appended' || event.entry.kind !== 'skipped') return false;
      turn.run.stage = 'done';
      return true;
    },
  };
}
