import { filmBrokenOhm, filmDryOhm, highOhm, shortOhm, weakOhm } from '../../guide/circuit/faults.ts';
import type { FaultMode, Level, Link } from '../../guide/types.ts';

/** Ohms that a fault may have, log-uniform between the two ends. */
export interface OhmSpan {
  lowOhm: number;
  highOhm: number;
}

/** One part of what a fault may be: spans of ohms by level, null where ohms mean nothing; weights of a fault's cells sum to 1. */
export interface FaultCell {
  ohm: Record<Level, OhmSpan> | null;
  weight: number;
}

/** A film that the normal level does not break down (common practice, no source). */
const unbrokenShare = 0.1;
/** A broken film's ohms lie within this factor of `filmBrokenOhm`, either way (common practice, no source). */
const brokenFactor = 4;

/**
 * Returns the span of ohms that a way to fail may have: added ohms of `high`, `film` (at the dry level) and `weak`, the short's own of
 * `short`; null where ohms mean nothing. Common practice, no source; each holds the default of `guide/faults.ts`.
 *
 * A `high` begins where it is noticed: half an ohm, or half of what the link has anyway.
 */
function faultSpan(link: Pick<Link, 'ohm'>, mode: FaultMode): OhmSpan | null {
  switch (mode) {
    case 'high': {
      const lowOhm = Math.max(0.5, link.ohm / 2);
      return { lowOhm, highOhm: Math.max(highOhm * 1e3, lowOhm * 20) };
    }
    case 'film':
      return { lowOhm: filmDryOhm / 200, highOhm: filmDryOhm * 50 };
    case 'weak':
      return { lowOhm: weakOhm / 6, highOhm: weakOhm * 10 };
    case 'short':
      return { lowOhm: shortOhm / 5, highOhm: shortOhm * 20 };
    default:
      return null;
  }
}

/** Returns the cells that the ohms of a fault are cut into, evenly in the logarithm; one cell where ohms mean nothing. */
export function faultCells(link: Link, mode: FaultMode): FaultCell[] {
  const span = faultSpan(link, mode);
  if (span === null) return [{ ohm: null, weight: 1 }];
  if (mode !== 'film') {
    return pieces(span, mode === 'high' ? 7 : mode === 'weak' ? 4 : 1).map((ohm, _, all) => ({
      ohm: { normal: ohm, dry: ohm },
      weight: 1 / all.length,
    }));
  }
  return pieces(span, 5).flatMap((dry, _, all) => {
    const broken = {
      lowOhm: filmBrokenOhm / brokenFactor,
      highOhm: Math.min(dry.highOhm, filmBrokenOhm * brokenFactor),
    };
    return [
      { ohm: { normal: broken, dry }, weight: (1 - unbrokenShare) / all.length },
      { ohm: { normal: dry, dry }, weight: unbrokenShare / all.length },
    ];
  });
}

function pieces({ lowOhm, highOhm }: OhmSpan, count: number): OhmSpan[] {
  const edge = (k: number): number => lowOhm * (highOhm / lowOhm) ** (k / count);
  return Array.from({ length: count }, (_, k) => ({ lowOhm: edge(k), highOhm: edge(k + 1) }));
}
