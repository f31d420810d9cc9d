import { faultText } from '../../guide/circuit/faults.ts';
import type { CheckTable, Model } from '../predict/model.ts';
import { pairSeen } from '../suspects/pair-cells.ts';
import type { ChannelCell } from '../suspects/scale.ts';
import type { Belief, Suspect } from '../types.ts';
import { stateOf } from './belief.ts';
import type { BeliefState } from './belief-state.ts';
import { isConcerned, readCell } from './evidence-effect.ts';
import { type OutcomeClass, outcomeSplit } from './outcome-classes.ts';

/** How probable each class of a check's outcome is under each suspect. */
export interface OutcomeTable {
  classes: OutcomeClass[];
  /** For each class its probability under each suspect: of a belief in its order, else of the model. Over the classes they sum to 1. */
  rows: Float64Array[];
}

/** Class probabilities of every cell that a check sees differently, class by class within a cell. */
interface CellOutcomes {
  classes: OutcomeClass[];
  healthy: Float64Array;
  /** Suspects that make a difference to the check. */
  concerned: number[];
  /** For each suspect where its cells begin, in cells; -1: as healthy. */
  rowOf: Int32Array;
  values: Float32Array;
}

const kept = new WeakMap<Model, Map<string, CellOutcomes>>();

/** Returns the classes of a check; null for an id that the guide doesn't have. */
export function outcomeClasses(model: Model, check: string): OutcomeClass[] | null {
  return cellOutcomes(model, check)?.classes ?? null;
}

/** Returns how probable each class of a check's outcome is under one suspect of the model, before any check; null for an unknown check. */
export function outcomeProbabilities(
  model: Model,
  check: string,
  suspectIndex: number,
): { classes: OutcomeClass[]; p: Float64Array } | null {
  const outcomes = cellOutcomes(model, check);
  if (outcomes === null || model.suspects[suspectIndex] === undefined) return null;
  const p = new Float64Array(outcomes.classes.length);
  weighted(model, outcomes, suspectIndex, null, p);
  return { classes: outcomes.classes, p };
}

/**
 * Returns how probable each class of a check's outcome is under each suspect, with what evidence has told of a suspect's ohms; null for
 * an unknown check.
 *
 * @param belief its suspects give the order; null: the model's suspects, before any check
 */
export function outcomeTable(model: Model, belief: Belief | null, check: string): OutcomeTable | null {
  const outcomes = cellOutcomes(model, check);
  if (outcomes === null) return null;
  const { classes, healthy, concerned } = outcomes;
  const state = belief === null ? null : stateOf(belief);
  const suspects = belief?.suspects ?? model.suspects;
  const rows = classes.map((_, o) => new Float64Array(suspects.length).fill(healthy[o]!));
  const scratch = new Float64Array(classes.length);
  const { place, pairs } = orderOf(model, suspects);
  const write = (at: number): void => {
    for (let o = 0; o < classes.length; o++) rows[o]![at] = scratch[o]!;
  };
  for (const s of concerned) {
    if (place[s] === -1) continue;
    weighted(model, outcomes, s, state, scratch);
    write(place[s]!);
  }
  for (const { at, one, other } of pairs) {
    pairOutcome(model, check, one, other, state, scratch);
    write(at);
  }
  return { classes, rows };
}

/** Where a list of suspects has those of the model, and the double ones in it. */
interface SuspectOrder {
  /** For each suspect of the model its place; -1: none. */
  place: Int32Array;
  pairs: { at: number; one: number; other: number }[];
}

const orders = new WeakMap<readonly Suspect[], SuspectOrder>();

function orderOf(model: Model, suspects: readonly Suspect[]): SuspectOrder {
  const known = orders.get(suspects);
  if (known !== undefined) return known;
  const indexOf = new Map(model.suspects.map(({ id }, s) => [id, s]));
  const order: SuspectOrder = { place: new Int32Array(model.suspects.length).fill(-1), pairs: [] };
  suspects.forEach(({ id, faults }, at) => {
    const s = indexOf.get(id);
    if (s !== undefined) order.place[s] = at;
    else if (faults.length === 2) {
      const [one, other] = faults.map((fault) => indexOf.get(faultText(fault)) ?? -1);
      if (one !== undefined && other !== undefined && one >= 0 && other >= 0) order.pairs.push({ at, one, other });
    }
  });
  orders.set(suspects, order);
  return order;
}

/** A suspect's class probabilities, over its cells: as believed, or by their prior weights. */
function weighted(
  model: Model,
  outcomes: CellOutcomes,
  s: number,
  state: BeliefState | null,
  into: Float64Array,
): void {
  const { healthy, rowOf, values } = outcomes;
  const row = rowOf[s]!;
  if (row === -1) {
    into.set(healthy);
    return;
  }
  const start = model.cellStart[s]!;
  const { cells } = model.suspects[s]!;
  let top = Number.NEGATIVE_INFINITY;
  if (state !== null) for (let c = 0; c < cells.length; c++) top = Math.max(top, state.cells[start + c]!);
  into.fill(0);
  let total = 0;
  for (let c = 0; c < cells.length; c++) {
    const weight = top === Number.NEGATIVE_INFINITY ? cells[c]!.weight : Math.exp(state!.cells[start + c]! - top);
    total += weight;
    const at = (row + c) * into.length;
    for (let o = 0; o < into.length; o++) into[o]! += weight * values[at + o]!;
  }
  for (let o = 0; o < into.length; o++) into[o]! /= total;
}

/** Two faults at once: in the likeliest of their pairs of cells. */
function pairOutcome(
  model: Model,
  check: string,
  one: number,
  other: number,
  state: BeliefState | null,
  into: Float64Array,
): void {
  const table = model.table(check)!;
  const pair = state?.pairs.find((known) => known.one === one && known.other === other);
  const width = model.suspects[other]!.cells.length;
  let best = 0;
  pair?.log.forEach((log, k) => {
    if (log > pair.log[best]!) best = k;
  });
  const seen = pairSeen(
    model,
    table,
    { suspect: one, cell: Math.floor(best / width) },
    { suspect: other, cell: best % width },
  );
  outcomeSplit(model, table.check).probabilities(seen, into);
}

function cellOutcomes(model: Model, check: string): CellOutcomes | null {
  const table = model.table(check);
  if (table === null) return null;
  let byCheck = kept.get(model);
  if (byCheck === undefined) {
    byCheck = new Map();
    kept.set(model, byCheck);
  }
  let outcomes = byCheck.get(check);
  if (outcomes === undefined) {
    outcomes = workOut(model, table);
    byCheck.set(check, outcomes);
  }
  return outcomes;
}

function workOut(model: Model, table: CheckTable): CellOutcomes {
  const { suspects } = model;
  const split = outcomeSplit(model, table.check);
  const width = split.classes.length;
  const healthy = new Float64Array(width);
  split.probabilities({ cells: table.channels.map((channel) => channel.healthy), isSeen: false }, healthy);
  const rowOf = new Int32Array(suspects.length).fill(-1);
  const concerned = suspects.flatMap((_, s) => (isConcerned(table, s) ? [s] : []));
  const count = concerned.reduce((sum, s) => sum + suspects[s]!.cells.length, 0);
  const values = new Float32Array(count * width);
  const read = table.channels.map((): ChannelCell => ({ low: 0, high: 0, sigma: 1, unsteady: 0, alt: Number.NaN }));
  const scratch = new Float64Array(width);
  let at = 0;
  for (const s of concerned) {
    rowOf[s] = at;
    const known = { isSeen: table.seen.has(s), isMute: table.mute.has(s), isAny: s === table.any };
    for (let c = 0; c < suspects[s]!.cells.length; c++) {
      table.channels.forEach((channel, k) => {
        readCell(channel, s, c, read[k]!);
      });
      split.probabilities({ cells: read, ...known }, scratch);
      values.set(scratch, at * width);
      at++;
    }
  }
  return { classes: split.classes, healthy, concerned, rowOf, values };
}
