import type { Evidence } from '../../../src/checks/evidence.ts';
import { limitsOf } from '../../../src/checks/registry.ts';
import { stateOf } from '../../../src/isolate/belief/belief.ts';
import { likelihood } from '../../../src/isolate/belief/likelihood.ts';
import { outcomeSplit } from '../../../src/isolate/belief/outcome-classes.ts';
import type { Seen } from '../../../src/isolate/belief/seen.ts';
import { kindModelOf } from '../../../src/isolate/kinds/registry.ts';
import { ChannelLooker } from '../../../src/isolate/predict/channel-looker.ts';
import type { Model } from '../../../src/isolate/predict/model.ts';
import type { ChannelCell } from '../../../src/isolate/suspects/scale.ts';
import type { Belief } from '../../../src/isolate/types.ts';

/** Suspects less probable than this have no part in a choice. */
const leastShare = 1e-6;

/** Returns what a check sees under each cell of each suspect: each worked out by itself, nothing shared or kept. */
function plainSights(model: Model, check: string): (Seen & { isConcerned: boolean })[][] {
  const { guide, rules, circuits, suspects } = model;
  const table = model.table(check)!;
  const lookers = kindModelOf(table.check)
    .channels(guide, table.check, rules)
    .map((channel) => new ChannelLooker(circuits, channel, limitsOf(table.check), rules));
  return suspects.map((suspect, s) => {
    const isSomething = suspect.link !== -1 || suspect.cause !== undefined;
    const seen = lookers.map((looker) => {
      const numbers = new Float32Array(5 * suspect.cells.length);
      return isSomething && looker.look(suspect, numbers) ? numbers : null;
    });
    const marks = { isSeen: table.seen.has(s), isMute: table.mute.has(s), isAny: s === table.any };
    const isConcerned = Object.values(marks).some((mark) => mark) || seen.some((numbers) => numbers !== null);
    return suspect.cells.map((_, c) => {
      const cells = lookers.map(({ healthy }, k): ChannelCell => {
        const numbers = seen[k]!;
        if (numbers === null) return healthy;
        const [low, high, sigma, unsteady, alt] = numbers.subarray(5 * c, 5 * c + 5);
        return { low: low!, high: high!, sigma: sigma!, unsteady: unsteady!, alt: alt! };
      });
      return { cells, ...marks, isConcerned };
    });
  });
}

/** Returns how probable each class of a check's outcome is under each single-fault suspect of the model. */
export function plainOutcomes(model: Model, belief: Belief, check: string): number[][] {
  const split = outcomeSplit(model, model.table(check)!.check);
  const logs = stateOf(belief)!.cells;
  return plainSights(model, check).map((cells, s) => {
    const own = [...logs.subarray(model.cellStart[s]!, model.cellStart[s + 1]!)];
    const top = Math.max(...own);
    const weights = own.map((log) => Math.exp(log - top));
    const total = weights.reduce((sum, weight) => sum + weight, 0);
    const sums = split.classes.map(() => 0);
    cells.forEach(({ isConcerned, ...seen }, c) => {
      const p = new Float64Array(sums.length);
      split.probabilities(seen, p);
      p.forEach((one, o) => {
        // tables keep single precision
        sums[o]! += (weights[c]! / total) * (isConcerned ? Math.fround(one) : one);
      });
    });
    return sums;
  });
}

/** Returns the natural logarithm of the likelihood of a piece of evidence under every cell of the model. */
export function plainLogs(model: Model, evidence: Evidence): number[] {
  const { check } = model.table(evidence.check)!;
  return plainSights(model, evidence.check)
    .flat()
    .map((seen) => Math.log(Math.max(Number.MIN_VALUE, likelihood(model, check, evidence, seen))));
}

/** Returns H(D) + H(O) - H(D, O), in bits, of suspects with these probabilities and decisions. */
export function plainBits(
  rows: readonly (readonly number[])[],
  p: readonly number[],
  decisions: readonly string[],
): number {
  const all = p.reduce((sum, one) => sum + one, 0);
  const counting = p.map((one) => (one > leastShare * all ? one : 0));
  const total = counting.reduce((sum, one) => sum + one, 0);
  const [byDecision, byOutcome, joint] = [
    new Map<string, number>(),
    new Map<string, number>(),
    new Map<string, number>(),
  ];
  const add = (to: Map<string, number>, key: string, one: number) => to.set(key, (to.get(key) ?? 0) + one);
  rows.forEach((row, s) => {
    row.forEach((chance, o) => {
      const both = (counting[s]! / total) * chance;
      add(byDecision, decisions[s]!, both);
      add(byOutcome, `${o}`, both);
      add(joint, `${decisions[s]} ${o}`, both);
    });
  });
  const entropy = (shares: Map<string, number>): number =>
    [...shares.values()].reduce((sum, share) => (share > 0 ? sum - share * Math.log2(share) : sum), 0);
  return Math.max(0, entropy(byDecision) + entropy(byOutcome) - entropy(joint));
}

/** Returns a resistance reading of a check. */
export function readingOf(check: string, value: number): Evidence {
  const reading = { value, u: 0.005 * value + 0.002, state: 'in-range' as const };
  return { check, kind: 'resistance', quantity: 'resistance', reading, unsteady: false };
}
