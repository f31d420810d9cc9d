import type { Check } from '../../guide/types.ts';
import type { OutcomeSplit } from '../kinds/outcome-pieces.ts';
import { kindModelOf } from '../kinds/registry.ts';
import type { Frame } from './seen.ts';

/**
 * Returns the classes of outcome of a check. Unsure answers, closures that are not proven and
 * touches not taken are none: they say nothing.
 */
export function outcomeSplit(frame: Frame, check: Check): OutcomeSplit {
  const { split, touches } = kindModelOf(check);
  const { classes, probabilities } = split(frame, check);
  const { anyShows } = frame.rules.unknown;
  return {
    classes,
    probabilities(seen, into) {
      probabilities(seen, into);
      if (seen.isAny !== true || !touches) return;
      for (let k = 0; k < into.length; k++) into[k] = (1 - anyShows) * into[k]! + anyShows / into.length;
    },
  };
}
