import type { Evidence } from '../../checks/evidence.ts';
import type { CheckTable, Model } from '../predict/model.ts';
import { eachSight } from '../predict/sights.ts';
import { chance, likelihood } from './likelihood.ts';
import type { Seen } from './seen.ts';

/** What a piece of evidence says: natural logarithms of its likelihood, cell by cell. */
export interface EvidenceEffect {
  /** Of every cell that is not named. */
  healthyLog: number;
  /** Cells of the model that the check sees differently, with theirs. */
  cells: Int32Array;
  logs: Float64Array;
  /** What chance would give. */
  chanceLog: number;
  /** Of two faults at once, by their two cells: worked out when first asked for. */
  pairs: Map<number, Map<number, number>>;
}

/** Effects that are kept; a guide's whole set of attempts fits in many times over. */
const mostKept = 5000;

/**
 * Returns what a piece of evidence says under every cell of a model; the evidence must have been
 * looked at by `evidenceProblem`.
 */
export function evidenceEffect(model: Model, evidence: Evidence): EvidenceEffect {
  const key = JSON.stringify(evidence);
  const known = model.effects.get(key);
  if (known !== undefined) return known;
  const effect = workOut(model, model.table(evidence.check)!, evidence);
  if (model.effects.size >= mostKept) model.effects.clear();
  model.effects.set(key, effect);
  return effect;
}

function workOut(model: Model, { check, channels, sights }: CheckTable, evidence: Evidence): EvidenceEffect {
  const logOf = (seen: Seen): number => Math.log(Math.max(Number.MIN_VALUE, likelihood(model, check, evidence, seen)));
  const logOfSight = new Float64Array(sights.count);
  eachSight(channels, sights, (seen, sight) => {
    logOfSight[sight] = logOf(seen);
  });
  return {
    healthyLog: logOf({ cells: channels.map(({ healthy }) => healthy), isSeen: false }),
    cells: sights.cells,
    logs: Float64Array.from(sights.sightOf, (sight) => logOfSight[sight]!),
    chanceLog: Math.log(chance(model, evidence, check)),
    pairs: new Map(),
  };
}

/** Returns an effect's logarithm at a cell of the model. */
export function logAt({ cells, logs, healthyLog }: EvidenceEffect, cell: number): number {
  let [low, high] = [0, cells.length];
  while (low < high) {
    const middle = (low + high) >> 1;
    if (cells[middle]! < cell) low = middle + 1;
    else high = middle;
  }
  return cells[low] === cell ? logs[low]! : healthyLog;
}
