import type { Evidence } from '../../checks/evidence.ts';
import type { CheckTable, Model } from '../predict/model.ts';
import { eachSight, type Sights } from '../predict/sights.ts';
import { chance, likelihood } from './likelihood.ts';
import type { Seen } from './seen.ts';

/** What a piece of evidence says: natural logarithms of its likelihood. */
export interface EvidenceEffect {
  /** Of every suspect that makes no difference to the check. */
  healthyLog: number;
  /** What the check sees of the others. */
  sights: Sights;
  /** Of each sight. */
  logs: Float64Array;
  /** What chance would give. */
  chanceLog: number;
  /** Of two faults at once, by their two cells: worked out when first asked for. */
  pairs: Map<number, Map<number, number>>;
}

/** Effects that are kept; a guide's whole set of attempts fits in many times over. */
const mostKept = 5000;

/** The same by the pieces themselves: writing them out takes longer than all else. */
const byPiece = new WeakMap<Model, WeakMap<Evidence, EvidenceEffect>>();

/**
 * Returns what a piece of evidence says under every cell of a model; the evidence must have been
 * looked at by `evidenceProblem`.
 */
export function evidenceEffect(model: Model, evidence: Evidence): EvidenceEffect {
  let pieces = byPiece.get(model);
  if (pieces === undefined) {
    pieces = new WeakMap();
    byPiece.set(model, pieces);
  }
  let effect = pieces.get(evidence);
  if (effect === undefined) {
    effect = effectByText(model, evidence);
    pieces.set(evidence, effect);
  }
  return effect;
}

function effectByText(model: Model, evidence: Evidence): EvidenceEffect {
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
  const logs = new Float64Array(sights.count);
  eachSight(channels, sights, (seen, sight) => {
    logs[sight] = logOf(seen);
  });
  return {
    healthyLog: logOf({ cells: channels.map(({ healthy }) => healthy), isSeen: false }),
    sights,
    logs,
    chanceLog: Math.log(chance(model, evidence, check)),
    pairs: new Map(),
  };
}

/** Returns an effect's logarithm at a cell of the model. */
export function logAt({ suspectOf, cellStart }: Model, effect: EvidenceEffect, cell: number): number {
  const suspect = suspectOf[cell]!;
  return logOfCell(effect, suspect, cell - cellStart[suspect]!);
}

/** Returns an effect's logarithm at a cell of a suspect, by its number in the suspect. */
export function logOfCell({ sights, logs, healthyLog }: EvidenceEffect, suspect: number, cell: number): number {
  const row = sights.rowOf[suspect]!;
  return row === -1 ? healthyLog : logs[sights.sightOf[row + cell]!]!;
}
