import { filmBrokenOhm, openOhm } from '../../guide/circuit/faults.ts';
import type { FaultMode, Level, Link } from '../../guide/types.ts';
import type { IsolationRules } from '../rules/isolation-rules.ts';

/** Ohms that a fault may have, log-uniform between the two ends. */
export interface OhmSpan {
  lowOhm: number;
  highOhm: number;
}

/**
 * One part of what a fault may be: spans of ohms by level, null where ohms mean nothing; weights of
 * a fault's cells sum to 1.
 */
export interface FaultCell {
  ohm: Record<Level, OhmSpan> | null;
  /** Of what has other values than the guide's: times those. */
  factor?: { low: number; high: number };
  weight: number;
}

type Rules = IsolationRules['suspects'];

/**
 * Returns the cells that the ohms of a fault are cut into, evenly in the logarithm; one cell where
 * ohms mean nothing. Ohms are those added of `high`, `film` (at the dry level) and `weak`, and the
 * element's own of `short` and `leaky` (common practice, no source).
 *
 * A `high` begins where it is noticed: half an ohm, or half of what the link has anyway. Beyond its
 * usual end it may be a leaky open.
 */
export function faultCells(link: Pick<Link, 'ohm' | 'kind'>, mode: FaultMode, rules: Rules): FaultCell[] {
  switch (mode) {
    case 'high':
      return highCells(link, rules);
    case 'weak':
      return evenly({ lowOhm: rules.weakLowOhm, highOhm: rules.weakHighOhm }, rules.weakCells);
    case 'short':
      return evenly({ lowOhm: rules.shortLowOhm, highOhm: rules.shortHighOhm }, rules.shortCells);
    case 'leaky': {
      const { leakyLowOhm, leakyHighOhm, leakyLowShare, leakyHighShare } = rules;
      const span =
        link.kind === 'switch'
          ? { lowOhm: leakyLowOhm, highOhm: leakyHighOhm }
          : { lowOhm: link.ohm * leakyLowShare, highOhm: link.ohm * leakyHighShare };
      return evenly(span, rules.leakySpanCells);
    }
    case 'film':
      return filmCells(rules);
    default:
      return [{ ohm: null, weight: 1 }];
  }
}

function highCells(link: Pick<Link, 'ohm'>, rules: Rules): FaultCell[] {
  const lowOhm = Math.max(rules.highLeastOhm, link.ohm * rules.highLeastShare);
  const highOhm = Math.max(rules.highMostOhm, lowOhm * rules.highMostFactor);
  const usual = evenly({ lowOhm, highOhm }, rules.highCells);
  if (rules.leakyCells === 0 || highOhm >= openOhm) return usual;
  const leaky = evenly({ lowOhm: highOhm, highOhm: openOhm }, rules.leakyCells);
  return [
    ...usual.map((cell) => ({ ...cell, weight: cell.weight * (1 - rules.leakyShare) })),
    ...leaky.map((cell) => ({ ...cell, weight: cell.weight * rules.leakyShare })),
  ];
}

function filmCells(rules: Rules): FaultCell[] {
  const { filmUnbrokenShare, filmBrokenFactor } = rules;
  return pieces({ lowOhm: rules.filmLowOhm, highOhm: rules.filmHighOhm }, rules.filmCells).flatMap((dry, _, all) => {
    const broken = {
      lowOhm: filmBrokenOhm / filmBrokenFactor,
      highOhm: Math.min(dry.highOhm, filmBrokenOhm * filmBrokenFactor),
    };
    return [
      { ohm: { normal: broken, dry }, weight: (1 - filmUnbrokenShare) / all.length },
      { ohm: { normal: dry, dry }, weight: filmUnbrokenShare / all.length },
    ];
  });
}

/** Returns cells of equal weight, even in the logarithm, alike at both levels. */
export function evenly(span: OhmSpan, count: number): FaultCell[] {
  return pieces(span, count).map((ohm, _, all) => ({ ohm: { normal: ohm, dry: ohm }, weight: 1 / all.length }));
}

function pieces({ lowOhm, highOhm }: OhmSpan, count: number): OhmSpan[] {
  const edge = (k: number): number => lowOhm * (highOhm / lowOhm) ** (k / count);
  return Array.from({ length: count }, (_, k) => ({ lowOhm: edge(k), highOhm: edge(k + 1) }));
}
