import { effectiveDof } from '../../measure/reading/read-window.ts';
import type { Reading } from '../../measure/types.ts';
import { manyDof, studentCdf } from '../../statistics/distributions/distribution.ts';

/**
 * Returns the probability that a reading at the dry level lies above `factor` times the one at the
 * normal level.
 *
 * Errors of both are taken as independent, on the safe side. A dry reading beyond its range is
 * above for certain when the range end is; a normal reading beyond its range leaves nothing to
 * compare (0.5).
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
