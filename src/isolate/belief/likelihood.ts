import type { Evidence, Measured } from '../../checks/evidence.ts';
import { limitsOf } from '../../checks/registry.ts';
import type { Check } from '../../guide/types.ts';
import { kindModelOf } from '../kinds/registry.ts';
import { chanceInside, isInsideClass } from './inside-limits.ts';
import { chanceDensity } from './outcome-density.ts';
import type { Frame, Seen } from './seen.ts';

/**
 * Returns how probable a piece of evidence is under a hypothesis: a density on the scale of its
 * channels, times probabilities of what is counted or answered. 1 for every hypothesis where the
 * evidence says nothing.
 *
 * Each touch is, with the guide's `wrongPad` chance, taken as one of other pads. The evidence must
 * be of the check's kind.
 */
export function likelihood(frame: Frame, check: Check, evidence: Evidence, seen: Seen): number {
  const { guide, rules } = frame;
  const kind = kindModelOf(evidence);
  // eyes are asked for one thing, and what says nothing says nothing of this either
  if (kind.isMute(check, evidence)) return 1;
  if (!kind.touches) return kind.likelihood(frame, check, evidence, seen);
  if (seen.isAny === true) {
    const { anyShows } = rules.unknown;
    return (
      (1 - anyShows) * likelihood(frame, check, evidence, { ...seen, isAny: false }) +
      anyShows * chance(frame, evidence, check)
    );
  }
  const { wrongPad } = guide;
  const right = kind.likelihood(frame, check, evidence, seen);
  return (1 - wrongPad) * right + wrongPad * chance(frame, evidence, check);
}

/**
 * Returns how probable a piece of evidence is by chance: the tips on any pads, a person who
 * guesses. What a hypothesis should beat.
 */
export function chance(frame: Frame, evidence: Evidence, check: Check): number {
  const { touch } = frame.rules;
  const density = (quantity: 'ohm' | 'volt', measured: Measured): number =>
    touch.limitsSpeak && isInsideClass(quantity, limitsOf(check), measured)
      ? chanceInside(touch, quantity, limitsOf(check))
      : chanceDensity(touch, quantity, measured);
  return kindModelOf(evidence).chance(frame, evidence, density);
}
