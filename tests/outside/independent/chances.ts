import type { Evidence, Measured } from '../../../src/checks/evidence.ts';
import type { Check, Guide, Limits } from '../../../src/guide/types.ts';
import { limitsOf } from './sights.ts';
import type { Stated } from './stated-model.ts';

export function ownSigma(kind: 'ohm' | 'volt', { value, u }: Measured): number {
  return kind === 'volt' ? u : u / (Math.max(0, value) + 0.005);
}

/** Returns whether a reading is not shown to be outside: less than two of its standard uncertainties beyond a limit. */
export function isInsideClass(kind: 'ohm' | 'volt', limits: Limits | null, { value, u, state }: Measured): boolean {
  const { min, max } = limits ?? {};
  if (min === undefined && max === undefined) return false;
  if (state === 'above-range') return max === undefined && (kind === 'volt' || value >= min!);
  return state === 'in-range' && value >= (min ?? -Infinity) - 2 * u && value <= (max ?? Infinity) + 2 * u;
}

/** Returns what the tips on any pads would read, as a density on the scale, or the mass beyond the range or inside the limits. */
function chanceDensity(stated: Stated, kind: 'ohm' | 'volt', limits: Limits | null, one: Measured): number {
  const n = (name: string): number => stated.number(`touch.wrongPad${name}`);
  const isInside = stated.is('touch.limitsSpeak') && isInsideClass(kind, limits, one);
  const { min = -Infinity, max = Infinity } = limits ?? {};
  if (kind === 'volt') {
    const [low, high] = [n('LowVolt'), n('HighVolt')];
    if (isInside) return Math.max(0.001, (Math.min(high, max) - Math.max(low, min)) / (high - low));
    return one.state === 'above-range' ? 0.01 : one.state === 'in-range' ? 1 / (high - low) : 1;
  }
  const [low, high, open] = [n('LowOhm'), n('HighOhm'), n('Open')];
  if (isInside) {
    const [from, to] = [Math.max(low, min), Math.min(high, max)];
    const share = to > from ? Math.log(to / from) / Math.log(high / low) : 0;
    return Math.max(0.001, (1 - open) * share + (max === Infinity ? open : 0));
  }
  return one.state === 'above-range' ? open : one.state === 'in-range' ? (1 - open) / Math.log(high / low) : 1;
}

/** Returns how probable a piece of evidence is by chance. */
export function chanceOf(
  { guide, stated, check }: { guide: Guide; stated: Stated; check: Check },
  evidence: Evidence,
): number {
  const of = (kind: 'ohm' | 'volt', one: Measured): number => chanceDensity(stated, kind, limitsOf(check), one);
  switch (evidence.kind) {
    case 'resistance':
    case 'voltage':
    case 'steady': {
      const { reading, unsteady, quantity } = evidence;
      const isRead = reading?.state === 'in-range' || reading?.state === 'above-range';
      if (!isRead) return unsteady ? 0.1 : 1;
      return (unsteady ? 0.1 : 0.9) * of(quantity === 'voltage' ? 'volt' : 'ohm', reading);
    }
    case 'dry-normal':
      return of('ohm', evidence.normal) * (evidence.dry.state === 'in-range' ? 0.5 : 0.3);
    case 'presses':
      return (evidence.closed === null ? 0.3 : of('ohm', evidence.closed)) / (evidence.count + 1);
    case 'look':
      return evidence.answer === 'unsure' ? 1 : 0.5;
    case 'bridge': {
      const idle = evidence.idle === null ? 1 : of('volt', evidence.idle);
      return evidence.answer === 'unsure' || !evidence.proven ? idle : 0.5 * (1 - guide.wrongPad) * idle;
    }
  }
}
