import type { Evidence } from '../../checks/evidence.ts';
import type { Fault, Repair } from '../../guide/types.ts';
import type { Model } from '../predict/model.ts';
import { mends } from '../repair/repair-plan.ts';
import { chanceAfter } from '../repair/repair-tries.ts';
import type { IsolationRules } from '../rules/isolation-rules.ts';
import { type EvidenceEffect, evidenceEffect } from './evidence-effect.ts';

/**
 * Two single-fault suspects at once: natural logarithms of the mass of each pair of their cells,
 * row by row.
 */
export interface PairMass {
  one: number;
  other: number;
  log: Float64Array;
}

/**
 * Unnormalised belief: natural logarithms of the mass of every cell of the single-fault suspects,
 * and of some pairs.
 */
export interface BeliefState {
  cells: Float64Array;
  pairs: PairMass[];
}

/** Returns the belief before any check, without double faults. */
export function priorState({ suspects, cellStart }: Model): BeliefState {
  const cells = new Float64Array(cellStart[suspects.length]!);
  suspects.forEach((suspect, s) => {
    suspect.cells.forEach(({ weight }, c) => {
      cells[cellStart[s]! + c] = Math.log(suspect.prior * weight);
    });
  });
  return { cells, pairs: [] };
}

/** Takes pieces of evidence into the single-fault suspects of a state, in place. */
export function addEvidence(model: Model, state: BeliefState, pieces: readonly Evidence[]): void {
  let healthy = 0;
  for (const one of pieces) {
    const effect = evidenceEffect(model, one);
    healthy += effect.healthyLog;
    addEffect(model, effect, state.cells);
  }
  for (let k = 0; k < state.cells.length; k++) state.cells[k]! += healthy;
}

/**
 * Adds to the logarithm of each cell how much likelier it makes a piece of evidence than a healthy
 * device does, in place.
 */
export function addEffect(
  { cellStart }: Model,
  { sights, logs, healthyLog }: EvidenceEffect,
  into: Float64Array,
): void {
  const { concerned, rowOf, sightOf } = sights;
  for (let k = 0; k < concerned.length; k++) {
    const s = concerned[k]!;
    const end = cellStart[s + 1]!;
    for (let cell = cellStart[s]!, at = rowOf[s]!; cell < end; cell++, at++)
      into[cell]! += logs[sightOf[at]!]! - healthyLog;
  }
}

/** What a repair does to a fault: with this chance it is gone. */
export type Mending = (fault: Fault) => number;

/**
 * Returns what a repair of the guide mends.
 *
 * @param tries how often it was done before; what it left is less likely to be mended by it now
 */
export function mendingOf(repair: Repair, tries: number, rules: IsolationRules): Mending {
  return (fault) => (mends(repair, fault) ? chanceAfter(repair, tries, rules) : 0);
}

/**
 * Carries a state over a repair, in place: of each fault that it is for, the mass of its chance of
 * success goes to 'nothing is wrong', or from two faults to the other one; the rest stays.
 *
 * So what was measured before the repair counts as evidence about the device of then, and only
 * through what it said of each fault; what is measured after it is evidence about the device as
 * repaired (forward filtering, as in any hidden Markov chain).
 */
export function addRepair(model: Model, state: BeliefState, mending: Mending): void {
  const { suspects, cellStart } = model;
  const chance = suspects.map(({ faults }) => (faults.length === 0 ? 0 : mending(faults[0]!)));
  let gained = state.cells[0]!;
  suspects.forEach((_, s) => {
    if (chance[s] === 0) return;
    for (let k = cellStart[s]!; k < cellStart[s + 1]!; k++) {
      gained = logSum(gained, state.cells[k]! + Math.log(chance[s]!));
      state.cells[k]! += Math.log1p(-chance[s]!);
    }
  });
  state.cells[0] = gained;
  for (const pair of state.pairs) carryPair(model, state, pair, chance[pair.one]!, chance[pair.other]!);
}

/** The chances of two faults are taken as independent. */
function carryPair(
  { suspects, cellStart }: Model,
  { cells }: BeliefState,
  pair: PairMass,
  first: number,
  second: number,
): void {
  const width = suspects[pair.other]!.cells.length;
  const add = (cell: number, log: number): void => {
    cells[cell] = logSum(cells[cell]!, log);
  };
  pair.log.forEach((log, k) => {
    add(0, log + Math.log(first * second));
    add(cellStart[pair.one]! + Math.floor(k / width), log + Math.log((1 - first) * second));
    add(cellStart[pair.other]! + (k % width), log + Math.log(first * (1 - second)));
    pair.log[k] = log + Math.log((1 - first) * (1 - second));
  });
}

/** Returns ln(e^a + e^b), with -Infinity for nothing. */
function logSum(a: number, b: number): number {
  const high = Math.max(a, b);
  return high === Number.NEGATIVE_INFINITY ? high : high + Math.log1p(Math.exp(Math.min(a, b) - high));
}
