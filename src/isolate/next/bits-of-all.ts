import { pairOutcome, type SightOutcomes, sightOutcomes, suspectWeights } from '../belief/outcomes.ts';
import type { Model } from '../predict/model.ts';
import type { Belief } from '../types.ts';
import { jointBits, type Weights } from './information.ts';
import type { NamedOutlook } from './outlook.ts';

/**
 * Returns what any check of a guide tells about the decision, in bits: as `informationBits` gives
 * it for all suspects of a belief, but summed over what the check sees in place of over suspects.
 * So no table of suspects is made for checks that are not chosen.
 */
export function bitsOfAll(
  model: Model,
  belief: Belief,
  { decisionOf, decisions, ids }: NamedOutlook,
  { index, p }: Weights,
): (check: number) => number {
  const { suspects, cellStart, guide } = model;
  const { place, pairs, state, cells, totals } = suspectWeights(model, belief);
  const shareAt = new Float64Array(ids.length);
  index.forEach((at, k) => {
    shareAt[at] = p[k]!;
  });
  const ofDecision = new Float64Array(decisions);
  shareAt.forEach((share, at) => {
    ofDecision[decisionOf[at]!]! += share;
  });
  const shares = Float64Array.from(place, (at) => (at === -1 ? 0 : shareAt[at]!));
  const mass = new Float64Array(cells.length);
  suspects.forEach((_, s) => {
    for (let k = cellStart[s]!; k < cellStart[s + 1]!; k++) mass[k] = (shares[s]! * cells[k]!) / totals[s]!;
  });
  const decisionAt = Int32Array.from(place, (at) => (at === -1 ? -1 : decisionOf[at]!));

  const joined = (outcomes: SightOutcomes, joint: Float64Array, concerned: Float64Array): void => {
    const { values, healthy } = outcomes;
    const { sights } = outcomes.table;
    const classes = healthy.length;
    // suspects that look alike lie in the same places
    const sums = new Float64Array(sights.sightOf.length);
    let [from, until, decision] = [sums.length, 0, -1];
    const flush = (): void => {
      for (let at = from; at < until; at++) {
        const weight = sums[at]!;
        if (weight === 0) continue;
        sums[at] = 0;
        const start = sights.sightOf[at]! * classes;
        for (let o = 0; o < classes; o++) joint[decision * classes + o]! += weight * values[start + o]!;
      }
      [from, until] = [sums.length, 0];
    };
    for (const s of sights.concerned) {
      if (shares[s] === 0) continue;
      if (decisionAt[s] !== decision) {
        flush();
        decision = decisionAt[s]!;
      }
      concerned[decision]! += shares[s]!;
      const [start, row] = [cellStart[s]!, sights.rowOf[s]!];
      const length = cellStart[s + 1]! - start;
      for (let c = 0; c < length; c++) sums[row + c]! += mass[start + c]!;
      from = Math.min(from, row);
      until = Math.max(until, row + length);
    }
    flush();
  };

  return (check) => {
    const outcomes = sightOutcomes(model, guide.checks[check]!.id)!;
    const classes = outcomes.healthy.length;
    const joint = new Float64Array(decisions * classes);
    const concerned = new Float64Array(decisions);
    joined(outcomes, joint, concerned);
    for (const { at, one, other } of pairs) {
      if (shareAt[at] === 0) continue;
      const d = decisionOf[at]!;
      concerned[d]! += shareAt[at]!;
      pairOutcome(model, outcomes, one, other, state).forEach((chance, o) => {
        joint[d * classes + o]! += shareAt[at]! * chance;
      });
    }
    return jointBits(
      joint,
      ofDecision.map((share, d) => Math.max(0, share - concerned[d]!)),
      outcomes.healthy,
    );
  };
}
