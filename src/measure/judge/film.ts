import { manyDof, studentCdf } from '../../statistics/distribution.ts';
import { formatReading } from '../reading/format.ts';
import { effectiveDof } from '../reading/read-window.ts';
import type { Limits, Outcome, Reading, Rule } from '../types.ts';
import { decide } from './decide.ts';

/**
 * Returns the probability that a reading at the dry level lies above `factor` times the one at the normal level.
 *
 * Errors of both are taken as independent, on the safe side. A dry reading beyond its range is above for certain when the range end is; a
 * normal reading beyond its range leaves nothing to compare (0.5).
 */
export function probabilityFilm(dry: Reading, normal: Reading, factor: number): number {
  if (normal.state !== 'in-range' || dry.state === 'unreadable' || dry.state === 'below-range') return 0.5;
  const excess = dry.value - factor * normal.value;
  const u = Math.hypot(dry.u, factor * normal.u);
  if (dry.state === 'above-range') return excess > 3 * u ? 1 : 0.5;
  if (u === 0) return excess > 0 ? 1 : 0;
  const dof = effectiveDof(u, [
    { u: dry.u, dof: dry.dof },
    { u: factor * normal.u, dof: normal.dof },
  ]);
  return studentCdf(excess / u, Math.min(dof, manyDof));
}

/**
 * Returns what one touch at both levels comes to. A film that is too thick for the dry level's 20 mV and breaks down at 0.2 V shows as a
 * dry reading far above the normal one (20 mV as the level that breaks no film down: IEC 60512-2-1, millivolt level method; from memory).
 *
 * - fail: a film by the rule's probability, or the normal reading fails its limits;
 * - pass: the normal reading passes, and there is no film, or the dry reading passes the limits as well;
 * - borderline: all else.
 */
export function judgeLevels(
  dry: Reading,
  normal: Reading,
  limits: Limits,
  factor: number,
  rule: Rule,
): { outcome: Extract<Outcome, 'pass' | 'fail' | 'borderline'>; pFilm: number; why: string } {
  const atNormal = decide(normal, limits, rule);
  const pFilm = probabilityFilm(dry, normal, factor);
  const p = rule.name === 'guarded' ? Math.max(rule.p, 0.5) : 0.5;
  const both = `dry ${formatReading(dry)}, normal ${formatReading(normal)}`;
  if (atNormal.outcome === 'fail') return { outcome: 'fail', pFilm, why: `${both}: ${atNormal.why}` };
  if (isComparable(dry, normal) && pFilm >= p && pFilm > 0.5) {
    return { outcome: 'fail', pFilm, why: `${both}: a film, the dry reading is above ${factor} times the normal one` };
  }
  if (atNormal.outcome === 'borderline') return { outcome: 'borderline', pFilm, why: `${both}: ${atNormal.why}` };
  const clear = isComparable(dry, normal) && 1 - pFilm >= p;
  if (clear || decide(dry, limits, rule).outcome === 'pass') {
    return { outcome: 'pass', pFilm, why: `${both}: no film; ${atNormal.why}` };
  }
  return { outcome: 'borderline', pFilm, why: `${both}: whether there is a film lies within the uncertainty` };
}

function isComparable(dry: Reading, normal: Reading): boolean {
  return normal.state === 'in-range' && (dry.state === 'in-range' || dry.state === 'above-range');
}
