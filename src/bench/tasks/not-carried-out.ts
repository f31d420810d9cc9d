import type { Check } from '../../guide/types.ts';
import type { TaskHandler } from './handler.ts';

/** Returns the handler of a kind of check that this bench can't carry out: it is skipped, and the record says why. */
export function notCarriedOut(check: Check): TaskHandler {
  return {
    start(turn) {
      turn.restart();
      turn.run.stage = 'recording';
      const reason = `checks of kind '${check.kind}' are not carried out by this bench`;
      turn.append({ kind: 'skipped', check: check.id, reason, by: 'option' });
    },
    on(turn, event) {
      if (event.type !== 'appended' || event.entry.kind !== 'skipped') return false;
      turn.run.stage = 'done';
      return true;
    },
  };
}
