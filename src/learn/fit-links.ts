import { solveCircuit } from '../guide/circuit/circuit.ts';
import { openOhm } from '../guide/circuit/faults.ts';
import type { Guide } from '../guide/types.ts';
import { fitLeastSquares } from '../statistics/least-squares.ts';
import type { SittingTouch } from './sitting-plan.ts';
import { touchState } from './touch-state.ts';
import { priorSds, readingSd } from './unknown.ts';

/** One touch as it was read: ohm with its standard uncertainty, or open. */
export interface ReadTouch {
  id: string;
  touch: SittingTouch;
  ohm: number;
  u: number;
  isOpen: boolean;
  /** What was held or read at two levels did not hold. */
  hasFailed: boolean;
}

/** What a sitting says of one link. */
export interface FittedLink {
  id: string;
  /** Most probable value of this unit, in ohm. */
  ohm: number;
  /** Standard deviation of ln R: how well this unit's own value is known. */
  sd: number;
  /** No touch tells anything of it: the value is the table's. */
  isSeen: boolean;
  /** Touches that say something of it. */
  touches: number;
}

export interface LinkFit {
  links: FittedLink[];
  /** Residuals of ln R over their expected size, by touch. */
  residuals: Map<string, number>;
  /** Sum of their squares, and the touches beyond what the links took up. */
  chiSquare: number;
  dof: number;
}

/** A touch says something of a link from this share of its resistance on. */
const noticedShare = 0.02;
/** Of the prior's width that is left, a link that is seen has less. */
const seenShare = 0.9;

/**
 * Returns the link values that a unit's touches are most probable under, in ln ohm: Gauss-Newton
 * with damping over the network's effective resistances, whose derivatives are the links' shares
 * (Cohn's theorem), each link held by how little is known of its kind.
 *
 * Touches that read open, or that the table says are open, are no part of it. Null when the fit
 * does not settle.
 */
export function fitLinks(guide: Guide, read: readonly ReadTouch[]): LinkFit | null {
  const sds = priorSds(guide);
  const start = guide.links.map(({ ohm }) => Math.log(ohm));
  const values = read.filter((one) => !one.isOpen && predictedOhm(guide, one.touch) < openOhm);
  const sizes = values.map(({ ohm, u }) => readingSd(ohm, u));
  const fit = fitLeastSquares({
    start,
    // two springs of which only the sum is known lie in a long flat valley
    enough: 0.01,
    at(parameters) {
      const linkOhm = Object.fromEntries(guide.links.map(({ id }, k) => [id, Math.exp(parameters[k]!)]));
      const residuals: number[] = [];
      const jacobian: number[][] = [];
      values.forEach(({ touch, ohm }, at) => {
        const circuit = solveCircuit(guide, { ...touchState(touch), linkOhm });
        const size = sizes[at]!;
        residuals.push(Math.log(Math.max(ohm, 1e-4) / circuit.resistanceOhm(...touch.pads)) / size);
        jacobian.push(circuit.shares(...touch.pads).map(({ share }) => share / size));
      });
      parameters.forEach((value, k) => {
        residuals.push((start[k]! - value) / sds[k]!);
        jacobian.push(parameters.map((_, j) => (j === k ? 1 / sds[k]! : 0)));
      });
      return { residuals, jacobian };
    },
  });
  if (!fit.ok) return null;
  const { parameters, covariance, residuals, jacobian } = fit;
  const leverage = (row: readonly number[]): number =>
    row.reduce((sum, a, k) => sum + a * row.reduce((inner, b, j) => inner + b * covariance[k]![j]!, 0), 0);
  const own = values.map((_, at) => residuals[at]!);
  const links = guide.links.map(({ id }, k) => {
    const sd = Math.sqrt(Math.max(0, covariance[k]![k]!));
    const touches = values.filter((_, at) => jacobian[at]![k]! * sizes[at]! >= noticedShare).length;
    return { id, ohm: Math.exp(parameters[k]!), sd, isSeen: sd < seenShare * sds[k]!, touches };
  });
  return {
    links,
    residuals: new Map(values.map(({ id }, at) => [id, own[at]!])),
    chiSquare: own.reduce((sum, one) => sum + one * one, 0),
    dof: values.reduce((sum, _, at) => sum + Math.max(0, 1 - leverage(jacobian[at]!)), 0),
  };
}

/** Returns what the table says that a touch reads, in ohm. */
export function predictedOhm(guide: Guide, touch: SittingTouch): number {
  return solveCircuit(guide, touchState(touch)).resistanceOhm(...touch.pads);
}
