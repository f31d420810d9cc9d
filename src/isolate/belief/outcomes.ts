import { faultText } from '../../guide/circuit/faults.ts';
import type { OutcomeClass } from '../kinds/outcome-pieces.ts';
import type { CheckTable, Model } from '../predict/model.ts';
import { eachSight } from '../predict/sights.ts';
import { pairSeen } from '../suspects/pair-cells.ts';
import type { Belief, Suspect } from '../types.ts';
import { stateOf } from './belief.ts';
import type { BeliefState } from './belief-state.ts';
import { outcomeSplit } from './outcome-classes.ts';
import type { OutcomeRows } from './outcome-rows.ts';

/**
 * How probable each class of a check's outcome is under each suspect: of a belief in its order,
 * else of the model.
 */
export interface OutcomeTable extends OutcomeRows {
  classes: OutcomeClass[];
}

/** Class probabilities of every distinct sight of a check, class by class within a sight. */
export interface SightOutcomes {
  table: CheckTable;
  classes: OutcomeClass[];
  healthy: Float64Array;
  values: Float32Array;
  /** Of two faults at once, by their cells: worked out when first asked for. */
  pairs: Map<string, Float64Array>;
}

const kept = new WeakMap<Model, Map<string, SightOutcomes>>();

/** Returns the classes of a check; null for an id that the guide doesn't have. */
export function outcomeClasses(model: Model, check: string): OutcomeClass[] | null {
  return sightOutcomes(model, check)?.classes ?? null;
}

/**
 * Returns how probable each class of a check's outcome is under one suspect of the model, before
 * any check; null for an unknown check.
 */
export function outcomeProbabilities(
  model: Model,
  check: string,
  suspectIndex: number,
): { classes: OutcomeClass[]; p: Float64Array } | null {
  const outcomes = sightOutcomes(model, check);
  if (outcomes === null || model.suspects[suspectIndex] === undefined) return null;
  const p = new Float64Array(outcomes.classes.length);
  if (outcomes.table.sights.rowOf[suspectIndex] === -1) p.set(outcomes.healthy);
  else weighted(model, outcomes, suspectIndex, cellWeights(model, null), p, 0);
  return { classes: outcomes.classes, p };
}

/**
 * Returns how probable each class of a check's outcome is under each suspect, with what evidence
 * has told of a suspect's ohms; null for an unknown check.
 *
 * @param belief its suspects give the order; null: the model's suspects, before any check
 */
export function outcomeTable(model: Model, belief: Belief | null, check: string): OutcomeTable | null {
  const outcomes = sightOutcomes(model, check);
  if (outcomes === null) return null;
  const { classes, healthy } = outcomes;
  const { concerned } = outcomes.table.sights;
  const { place, pairs, state, ...weights } = suspectWeights(model, belief);
  const rowOf = new Int32Array((belief ?? model).suspects.length).fill(-1);
  const p = new Float64Array((concerned.length + pairs.length) * classes.length);
  let row = 0;
  for (const s of concerned) {
    if (place[s] === -1) continue;
    weighted(model, outcomes, s, weights, p, row * classes.length);
    rowOf[place[s]!] = row++;
  }
  for (const { at, one, other } of pairs) {
    p.set(pairOutcome(model, outcomes, one, other, state), row * classes.length);
    rowOf[at] = row++;
  }
  return { classes, rest: healthy, rowOf, p };
}

/**
 * What a belief's suspects are made of: where they stand in it, and what each cell counts within
 * its suspect.
 */
export function suspectWeights(
  model: Model,
  belief: Belief | null,
): SuspectOrder & CellWeights & { state: BeliefState | null } {
  const state = belief === null ? null : stateOf(belief);
  return { ...orderOf(model, (belief ?? model).suspects), ...cellWeights(model, state), state };
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

/**
 * What each cell of the model counts within its suspect, and the sum of a suspect's: as believed,
 * or by their prior weights.
 */
interface CellWeights {
  cells: Float64Array;
  totals: Float64Array;
}

const weightsOf = new WeakMap<object, CellWeights>();

function cellWeights(model: Model, state: BeliefState | null): CellWeights {
  const known = weightsOf.get(state ?? model);
  if (known !== undefined) return known;
  const { suspects, cellStart } = model;
  const weights = { cells: new Float64Array(cellStart[suspects.length]!), totals: new Float64Array(suspects.length) };
  suspects.forEach(({ cells }, s) => {
    const start = cellStart[s]!;
    let top = Number.NEGATIVE_INFINITY;
    if (state !== null) for (let c = 0; c < cells.length; c++) top = Math.max(top, state.cells[start + c]!);
    for (let c = 0; c < cells.length; c++) {
      const weight = top === Number.NEGATIVE_INFINITY ? cells[c]!.weight : Math.exp(state!.cells[start + c]! - top);
      weights.cells[start + c] = weight;
      weights.totals[s]! += weight;
    }
  });
  weightsOf.set(state ?? model, weights);
  return weights;
}

/** Writes a concerned suspect's class probabilities, over its cells, from a place on. */
function weighted(
  { cellStart }: Model,
  { table: { sights }, values, classes }: SightOutcomes,
  s: number,
  { cells, totals }: CellWeights,
  into: Float64Array,
  at: number,
): void {
  const width = classes.length;
  const start = cellStart[s]!;
  const row = sights.rowOf[s]!;
  for (let c = 0; c < cellStart[s + 1]! - start; c++) {
    const weight = cells[start + c]!;
    const from = sights.sightOf[row + c]! * width;
    for (let o = 0; o < width; o++) into[at + o]! += weight * values[from + o]!;
  }
  for (let o = 0; o < width; o++) into[at + o]! /= totals[s]!;
}

/**
 * Returns the class probabilities of two faults at once: in the likeliest of their pairs of cells.
 */
export function pairOutcome(
  model: Model,
  { table, classes, pairs }: SightOutcomes,
  one: number,
  other: number,
  state: BeliefState | null,
): Float64Array {
  const pair = state?.pairs.find((known) => known.one === one && known.other === other);
  const width = model.suspects[other]!.cells.length;
  let best = 0;
  pair?.log.forEach((log, k) => {
    if (log > pair.log[best]!) best = k;
  });
  const key = `${one} ${other} ${best}`;
  const known = pairs.get(key);
  if (known !== undefined) return known;
  const seen = pairSeen(
    model,
    table,
    { suspect: one, cell: Math.floor(best / width) },
    { suspect: other, cell: best % width },
  );
  const p = new Float64Array(classes.length);
  outcomeSplit(model, table.check).probabilities(seen, p);
  pairs.set(key, p);
  return p;
}

/** Returns the class probabilities of all that a check sees; null for an unknown check. */
export function sightOutcomes(model: Model, check: string): SightOutcomes | null {
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

function workOut(model: Model, table: CheckTable): SightOutcomes {
  const split = outcomeSplit(model, table.check);
  const width = split.classes.length;
  const healthy = new Float64Array(width);
  split.probabilities({ cells: table.channels.map((channel) => channel.healthy), isSeen: false }, healthy);
  const values = new Float32Array(table.sights.count * width);
  const scratch = new Float64Array(width);
  eachSight(table.channels, table.sights, (seen, sight) => {
    split.probabilities(seen, scratch);
    values.set(scratch, sight * width);
  });
  return { table, classes: split.classes, healthy, values, pairs: new Map() };
}
