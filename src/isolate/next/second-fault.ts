import { evidenceEffect } from '../belief/evidence-effect.ts';
import type { Model } from '../predict/model.ts';
import type { Belief } from '../types.ts';

/** A second fault less probable than this is as good as ruled out (common practice, no source). */
const asGoodAsNone = 0.004;

/**
 * Returns whether the fault that a belief names is all that is wrong: what was measured leaves little chance of a second, independent one.
 *
 * Only evidence that the named fault makes no difference to speaks of a second one: for each other suspect its prior goes down by how much less
 * probable that evidence is with it than on a device without it.
 */
export function isWholeFault(model: Model, belief: Belief): boolean {
  const { rules, suspects, cellStart } = model;
  const leading = belief.suspects[0];
  const own = suspects.findIndex(({ id }) => id === leading?.id);
  if (leading === undefined || leading.faults.length > 1 || own === -1) return true;
  const log = new Float64Array(cellStart[suspects.length]!);
  for (const piece of belief.evidence) {
    const { cells, logs, healthyLog } = evidenceEffect(model, piece);
    const isOwn = cells.some((cell) => cell >= cellStart[own]! && cell < cellStart[own + 1]!);
    if (isOwn) continue;
    cells.forEach((cell, k) => {
      log[cell]! += logs[k]! - healthyLog;
    });
  }
  let [all, left] = [0, 0];
  suspects.forEach(({ link, prior, cells }, s) => {
    if (link === -1 || link === suspects[own]!.link) return;
    all += prior;
    cells.forEach(({ weight }, c) => {
      left += prior * weight * Math.min(1, Math.exp(log[cellStart[s]! + c]!));
    });
  });
  return all === 0 || (rules.pairs.secondFaultShare * left) / all < asGoodAsNone;
}
