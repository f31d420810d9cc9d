import type { Access, Check, Guide } from '../../guide/types.ts';
import type { Situation } from '../types.ts';

/** The state of the bench that a check's minutes depend on. */
export type Standing = Pick<Situation, 'power' | 'access'>;

/**
 * Returns the minutes of a check as the device stands now: its own, and those of switching and
 * opening (or closing) the device for it.
 */
export function checkMinutes(guide: Guide, check: Check, standing: Standing): number {
  const switching = standing.power === check.power ? 0 : guide.powerMinutes;
  return check.minutes + switching + accessMinutes(guide, standing.access, check.access ?? null);
}

/** Returns how the device stands after a check. */
export function standingAfter(check: Check): Standing {
  return { power: check.power, access: check.access ?? null };
}

/**
 * Returns the minutes from one state of disassembly to another; null: closed, undefined: not known,
 * which counts as closed.
 *
 * Where one state has all that the other has taken apart, only the difference is worked; else the
 * device is closed and opened again, and closing takes as long as opening.
 */
export function accessMinutes(guide: Guide, from: string | null | undefined, to: string | null): number {
  if ((from ?? null) === to) return 0;
  const [a, b] = [find(guide, from ?? null), find(guide, to)];
  return isWithin(a, b) || isWithin(b, a) ? Math.abs(a.minutes - b.minutes) : a.minutes + b.minutes;
}

function find(guide: Guide, id: string | null): Pick<Access, 'minutes' | 'parts'> {
  return guide.access.find((access) => access.id === id) ?? { minutes: 0, parts: [] };
}

function isWithin(less: Pick<Access, 'parts'>, more: Pick<Access, 'parts'>): boolean {
  return less.parts.every((part) => more.parts.includes(part));
}
