import { chiSquareTail } from '../../statistics/distributions/distribution.ts';
import { byStandard, type IndexedPoint } from '../points/standard-observations.ts';
import { residualsOf } from './residuals.ts';
import type { Solved } from './solve-range.ts';

/**
 * Below this probability of its chi-square a fit and its points contradict one another: of sound
 * sittings over nine ranges 1 in 50 comes here.
 */
export const contradictionProbability = 0.002;
/**
 * A point further off than this many standard deviations contradicts the others, whatever the whole
 * says.
 */
const farDeviation = 4;
/**
 * Leaving out one point is decisively better than another when chi-square is so much less: 20 times
 * as likely (e^(6/2)).
 */
const decisive = 6;
/**
 * Of all that speaks for the curve (points, and the parameters of a prior) at most this share may
 * be left out: the rest must be the clear majority.
 */
const mostShare = 1 / 3;
/**
 * Pairs are tried one by one up to this many points; beyond, two that hide one another are rarely
 * alone in deciding.
 */
const mostForPairs = 24;

/**
 * What a search came to: the points left out with the fit of the others, or that no few points
 * explain it.
 */
export type Search = { found: true; solved: Solved; out: IndexedPoint[]; rivals: IndexedPoint[] } | { found: false };

/** Returns whether a fit agrees with its points. */
export function isConsistent(solved: Solved): boolean {
  return (
    probabilityOf(solved) >= contradictionProbability &&
    residualsOf(solved).every(({ standardised }) => Math.abs(standardised) <= farDeviation)
  );
}

/** Returns the probability of a chi-square as large or larger; 1 with no degrees of freedom. */
export function probabilityOf({ chiSquare, dof }: Solved): number {
  return dof > 0 ? chiSquareTail(Math.max(0, chiSquare), dof) : 1;
}

/**
 * Returns the fewest points without which the others agree, by trying: each point and each standard
 * alone, then pairs (two swapped standards hide one another), then more, the worst first. At least
 * one degree of freedom must remain, or everything would agree. `rivals`: points that would do as
 * well in place of those left out, so that it can't be told which is wrong.
 */
export function searchOutliers(
  points: readonly IndexedPoint[],
  solve: (points: readonly IndexedPoint[]) => Solved | null,
  priorParameters: number,
): Search {
  const most = Math.max(1, Math.floor((points.length + priorParameters) * mostShare));
  let out: IndexedPoint[] = [];
  while (out.length < most) {
    const rest = points.filter((point) => !out.includes(point));
    const one = tryEach(unitsOf(rest), rest, most - out.length, solve);
    if (one.length === 0) return { found: false };
    if (isConsistent(one[0]!.solved)) return chosen(one, out);
    if (rest.length <= mostForPairs) {
      const two = tryEach(pairsOf(unitsOf(rest)), rest, most - out.length, solve);
      if (two.length > 0 && isConsistent(two[0]!.solved)) return chosen(two, out);
    }
    out = [...out, ...one[0]!.unit];
  }
  return { found: false };
}

interface Trial {
  unit: IndexedPoint[];
  solved: Solved;
}

function chosen(trials: readonly Trial[], before: readonly IndexedPoint[]): Search {
  const [best, ...others] = trials as [Trial, ...Trial[]];
  const rivals = others
    .filter(({ unit, solved }) => unit.length === best.unit.length && isConsistent(solved))
    .filter(({ solved }) => solved.chiSquare - best.solved.chiSquare < decisive)
    .flatMap(({ unit }) => unit.filter((point) => !best.unit.includes(point)));
  return { found: true, solved: best.solved, out: [...before, ...best.unit], rivals: [...new Set(rivals)] };
}

/**
 * Returns the fits without each unit, best first: those that agree before those that don't, then
 * those that leave out fewer, then the most probable.
 */
function tryEach(
  units: readonly IndexedPoint[][],
  rest: readonly IndexedPoint[],
  most: number,
  solve: (points: readonly IndexedPoint[]) => Solved | null,
): Trial[] {
  const trials: Trial[] = [];
  for (const unit of units) {
    if (unit.length > most) continue;
    const solved = solve(rest.filter((point) => !unit.includes(point)));
    if (solved !== null && solved.dof >= 1) trials.push({ unit, solved });
  }
  const perFreedom = ({ solved }: Trial): number => solved.chiSquare / solved.dof;
  const agrees = new Map(trials.map((trial) => [trial, isConsistent(trial.solved)]));
  return trials.sort((a, b) => {
    const [first, second] = [agrees.get(a)!, agrees.get(b)!];
    if (first !== second) return first ? -1 : 1;
    return (first ? a.unit.length - b.unit.length : 0) || perFreedom(a) - perFreedom(b);
  });
}

/** Each point, and all touches on a standard where there are several. */
function unitsOf(points: readonly IndexedPoint[]): IndexedPoint[][] {
  return [...points.map((point) => [point]), ...byStandard(points).filter((group) => group.length > 1)];
}

function pairsOf(units: readonly IndexedPoint[][]): IndexedPoint[][] {
  return units.flatMap((a, i) =>
    units.slice(i + 1).flatMap((b) => (a.some((point) => b.includes(point)) ? [] : [[...a, ...b]])),
  );
}
