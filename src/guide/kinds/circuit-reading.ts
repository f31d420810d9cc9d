import type { Circuit } from '../circuit.ts';
import { isUnsteady } from '../faults.ts';
import { formatOhm, formatVolt } from '../quantity.ts';
import type { Fault, Guide, Limits, Power } from '../types.ts';
import type { CheckProblem } from './kind.ts';

/** The largest resistance that the probe tells from an open: 10 Mohm, on its 1 Mohm range. */
export const probeEndOhm = 10e6;
/** The largest voltage that the probe reads, either way. */
const probeEndVolt = 20;
/** A link with less than this part of a reading doesn't make it unsteady. */
const noticedShare = 0.02;

/** Returns whether a number is inside limits, the ends included. */
export function isInside(number: number, { min, max }: Limits): boolean {
  return (min === undefined || number >= min) && (max === undefined || number <= max);
}

/** Returns the relative spread of the resistance between two pads that the spreads of the links make, one standard deviation. */
export function relativeSpread(guide: Guide, circuit: Circuit, pads: [string, string]): number {
  const spreads = new Map(guide.links.map((link) => [link.id, link.spread]));
  const squares = circuit.shares(...pads).map(({ link, share }) => (share * (spreads.get(link) ?? 0)) ** 2);
  return Math.sqrt(squares.reduce((sum, square) => sum + square, 0));
}

/** Returns whether a weak or intermittent link makes up a noticeable part of the resistance between two pads. */
export function isUnsteadyBetween(circuit: Circuit, pads: [string, string], faults: readonly Fault[]): boolean {
  const unsteady = new Set(faults.filter((fault) => isUnsteady(fault.mode)).map((fault) => fault.link));
  if (unsteady.size === 0) return false;
  return circuit.shares(...pads).some(({ link, share }) => unsteady.has(link) && share >= noticedShare);
}

/** Returns what is wrong with a check of ohms, whatever the circuit. */
export function resistanceProblems({ power, limits }: { power: Power; limits: Limits }): CheckProblem[] {
  const problems: CheckProblem[] = [];
  if (power === 'on') problems.push({ severity: 'error', code: 'power.on-for-ohms', at: ['power'], args: {} });
  for (const side of ['min', 'max'] as const) {
    const limit = limits[side];
    if (limit !== undefined && limit > probeEndOhm) {
      const args = { side, limit: formatOhm(limit), end: formatOhm(probeEndOhm) };
      problems.push({ severity: 'error', code: 'limits.beyond-probe', at: ['limits', side], args });
    }
  }
  return problems;
}

/** Returns what is wrong with a check of volts, whatever the circuit. */
export function voltageProblems(limits: Limits): CheckProblem[] {
  const problems: CheckProblem[] = [];
  for (const side of ['min', 'max'] as const) {
    const limit = limits[side];
    if (limit !== undefined && Math.abs(limit) > probeEndVolt) {
      const args = { side, limit: formatVolt(limit), end: formatVolt(probeEndVolt) };
      problems.push({ severity: 'error', code: 'limits.beyond-probe', at: ['limits', side], args });
    }
  }
  return problems;
}
