import { probeEndOhm } from '../../checks/circuit-reading.ts';
import type { Limits } from '../../guide/types.ts';
import { spreadCdf } from '../belief/outcome-density.ts';
import type { Seen } from '../belief/seen.ts';
import type { IsolationRules } from '../rules/isolation-rules.ts';
import { type ChannelCell, scaleOf } from '../suspects/scale.ts';

/** One class of what a check may come to, before it is done. */
export interface OutcomeClass {
  id: string;
  /** The check passes in this class. */
  isPass: boolean;
}

/** The classes of a check, and how probable each is under a hypothesis. */
export interface OutcomeSplit {
  classes: OutcomeClass[];
  /** Writes the probability of each class into `into`; they sum to 1. */
  probabilities(seen: Seen, into: Float64Array): void;
}

/** What a calibrated probe adds to a prediction's width: relative for ohms, volt for volts. */
const expectedSigma = { ohm: 0.02, volt: 0.015 } as const;
export const passClass: OutcomeClass = { id: 'pass', isPass: true };

/** Limits and what divides beyond them, as pieces of the scale from low to high. */
interface Pieces {
  classes: OutcomeClass[];
  /** Between the pieces: one less than there are. */
  edges: number[];
}

/** Returns the pieces that a check's limits make. */
export function pieces(quantity: 'ohm' | 'volt', { min, max }: Limits): Pieces {
  const wanted =
    quantity === 'volt'
      ? [min, max, ...(min !== undefined && min > 0 ? [min / 2] : [])]
      : [
          min,
          max,
          probeEndOhm,
          ...(min === undefined ? [] : [min / 100]),
          ...(max === undefined ? [] : [max * 10, max * 1000]),
        ];
  const values = [...new Set(wanted)]
    .filter(
      (value): value is number => value !== undefined && (quantity === 'volt' || (value > 0 && value <= probeEndOhm)),
    )
    .sort((a, b) => a - b);
  const classes = [...values, Number.POSITIVE_INFINITY].map((end, k): OutcomeClass => {
    const start = k === 0 ? Number.NEGATIVE_INFINITY : values[k - 1]!;
    const isPass = (min === undefined || start >= min) && (max === undefined || end <= max);
    if (isPass && start === probeEndOhm) return { id: 'pass-open', isPass };
    if (isPass) return { id: k === 0 || min !== undefined ? 'pass' : `pass-${k}`, isPass };
    if (quantity === 'ohm' && start === probeEndOhm) return { id: 'open', isPass };
    return { id: max !== undefined && start >= max ? `high-${k}` : `low-${k}`, isPass };
  });
  return { classes, edges: values.map((value) => scaleOf(quantity, value)) };
}

/** Writes the chance of each piece, alternating moments included, from `at` on, times `share`. */
export function addPieces(
  touch: IsolationRules['touch'],
  quantity: 'ohm' | 'volt',
  edges: readonly number[],
  cell: ChannelCell,
  share: number,
  into: Float64Array,
  at: number,
): void {
  const sigma = Math.hypot(cell.sigma, expectedSigma[quantity]);
  let before = 0;
  for (let k = 0; k <= edges.length; k++) {
    const until = k === edges.length ? 1 : below(touch, cell, edges[k]!, sigma);
    into[at + k]! += share * Math.max(0, until - before);
    before = until;
  }
}

function below({ badMoments }: IsolationRules['touch'], cell: ChannelCell, edge: number, sigma: number): number {
  const usual = spreadCdf(cell, edge, sigma);
  if (Number.isNaN(cell.alt)) return usual;
  return (1 - badMoments) * usual + badMoments * spreadCdf({ low: cell.alt, high: cell.alt }, edge, sigma);
}

/** On wrong pads any class is as probable as any other. */
export function blur(wrongPad: number, into: Float64Array): void {
  for (let k = 0; k < into.length; k++) into[k] = (1 - wrongPad) * into[k]! + wrongPad / into.length;
}
