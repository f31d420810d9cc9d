import type { Evidence } from '../../checks/evidence.ts';
import type { Model } from '../predict/model.ts';
import { triesOf } from '../repair/repair-tries.ts';
import { decisionOption, joinDecisions } from '../suspects/suspects.ts';
import type { Belief, Repaired, Suspect } from '../types.ts';
import {
  addEvidence,
  addRepair,
  type BeliefState,
  type Mending,
  mendingOf,
  type PairMass,
  priorState,
} from './belief-state.ts';
import {
  addPairEvidence,
  likeliestOfGuide,
  likelyPairs,
  pairPriorLog,
  unexplained,
  unexplainedBy,
} from './double-faults.ts';
import { doubtOf } from './doubt.ts';
import { type BeliefProblem, evidenceProblem } from './evidence-problem.ts';

export type { Repaired };

const states = new WeakMap<Belief, BeliefState>();

/**
 * Returns what to believe of a device after some evidence: Bayes' rule over all single-fault
 * suspects and their cells, and over pairs of them when the leading suspect explains a piece of
 * evidence worse than chance would. All in logarithms, so that no amount of evidence underflows.
 *
 * Evidence counts in its order only as regards repairs: what came before one speaks of the device
 * of then. Over a repair, a fault that it is for is gone with the repair's chance of success and
 * else stays; what comes after decides which (see `addRepair`). The same repair done once more is
 * less likely to help (see `chanceAfter`).
 *
 * Evidence that the guide can't make sense of is returned as a problem, and nothing is believed.
 */
export function believe(
  model: Model,
  evidence: readonly Evidence[],
  repaired: readonly Repaired[] = [],
): Belief | BeliefProblem {
  for (const [at, one] of evidence.entries()) {
    const problem = evidenceProblem(model.guide, one, at);
    if (problem !== null) return problem;
  }
  const spans = spansOf(model, evidence, repaired);
  if ('code' in spans) return spans;

  let state = priorState(model);
  const puzzles: number[] = [];
  let known: PairMass[] = [];
  for (const { first, pieces, mending } of spans) {
    addEvidence(model, state, pieces);
    const here = unexplained(model, likeliestOfGuide(model, state.cells), pieces);
    if (here.length > 0) known = [...known, ...likelyPairs(model, state, pieces, here)];
    puzzles.push(...here.map((at) => first + at));
    if (mending !== null) addRepair(model, state, mending);
  }
  if (known.length > 0) state = withPairs(model, state, spans, distinct(known));
  const belief = beliefOf(model, state, evidence);
  if (repaired.length > 0) belief.repaired = [...repaired];
  if (model.rules.verdict.isCapped) {
    const standing = evidence.slice(spans.at(-1)!.first);
    belief.unexplained = unexplainedBy(model, state, standing).map((at) => standing[at]!.check);
  }
  belief.doubt = doubtOf(model, belief, puzzles);
  states.set(belief, state);
  return belief;
}

/**
 * Returns the masses that a belief was made of; null for a belief that `believe` did not make (a
 * copy, or one read from a file).
 */
export function stateOf(belief: Belief): BeliefState | null {
  return states.get(belief) ?? null;
}

interface Span {
  /** Number of its first piece of evidence. */
  first: number;
  pieces: Evidence[];
  /** What the repair at its end mends; null: there is none. */
  mending: Mending | null;
}

function spansOf(model: Model, evidence: readonly Evidence[], repaired: readonly Repaired[]): Span[] | BeliefProblem {
  const { guide } = model;
  const spans: Span[] = [];
  let first = 0;
  for (const [at, one] of repaired.entries()) {
    const after = one.after ?? evidence.length;
    if (!Number.isInteger(after) || after < first || after > evidence.length) {
      const what = `repair ${at + 1} is said to come after ${after} of ${evidence.length} pieces of evidence`;
      return { code: 'repair.place', at, what, help: 'Give whole numbers that do not fall.' };
    }
    const mending = mendingBy(model, one, repaired.slice(0, at));
    if (mending === null) {
      const what =
        'repair' in one
          ? `guide '${guide.id}' has no repair '${one.repair}'`
          : `guide '${guide.id}' has no unit '${one.unit}'`;
      const ids = ('repair' in one ? guide.repairs : guide.units).map(({ id }) => id);
      return { code: 'repair.unknown', at, what, help: `It has: ${ids.join(', ')}.` };
    }
    spans.push({ first, pieces: evidence.slice(first, after), mending });
    first = after;
  }
  return [...spans, { first, pieces: evidence.slice(first), mending: null }];
}

function mendingBy({ guide, rules }: Model, one: Repaired, before: readonly Repaired[]): Mending | null {
  if ('repair' in one) {
    const repair = guide.repairs.find(({ id }) => id === one.repair);
    return repair === undefined ? null : mendingOf(repair, triesOf(repair.id, before), rules);
  }
  if (!guide.units.some(({ id }) => id === one.unit)) return null;
  const links = new Map(guide.links.map((link) => [link.id, link]));
  return (fault) => {
    const link = links.get(fault.link);
    if (link?.unit === one.unit) return rules.repairs.goodUnit;
    return link?.between?.includes(one.unit) === true ? rules.repairs.goodContact : 0;
  };
}

/**
 * The whole course again, with pairs beside the single faults; without a repair these stay as they
 * are.
 */
function withPairs(model: Model, { cells }: BeliefState, spans: readonly Span[], pairs: PairMass[]): BeliefState {
  const isRepaired = spans.some(({ mending }) => mending !== null);
  const state = isRepaired ? priorState(model) : { cells, pairs: [] };
  state.pairs = pairs;
  for (const { pieces, mending } of spans) {
    if (isRepaired) addEvidence(model, state, pieces);
    for (const pair of pairs) for (const one of pieces) addPairEvidence(model, pair, one);
    if (mending !== null) addRepair(model, state, mending);
  }
  return state;
}

function distinct(pairs: readonly PairMass[]): PairMass[] {
  return [...new Map(pairs.map((pair) => [`${pair.one} ${pair.other}`, pair])).values()];
}

function beliefOf(model: Model, state: BeliefState, evidence: readonly Evidence[]): Belief {
  const top = Math.max(indexMost(state.cells), ...state.pairs.map(({ log }) => indexMost(log)));
  const weigh = (logs: Float64Array): number => logs.reduce((sum, log) => sum + Math.exp(log - top), 0);
  const masses = model.suspects.map((_, s) =>
    weigh(state.cells.subarray(model.cellStart[s]!, model.cellStart[s + 1]!)),
  );
  const pairs = state.pairs.map((pair) => ({ suspect: pairSuspect(model, pair), mass: weigh(pair.log) }));
  const total = masses.reduce((sum, mass) => sum + mass, 0) + pairs.reduce((sum, { mass }) => sum + mass, 0);
  const suspects = model.suspects.map(({ id, faults, decision, prior }, s) => ({
    id,
    faults,
    decision,
    prior,
    p: masses[s]! / total,
  }));
  for (const { suspect, mass } of pairs) suspects.push({ ...suspect, p: mass / total });

  const shares = new Map(model.decisions.map(({ id }) => [id, 0]));
  for (const { decision, p } of suspects) shares.set(decision, (shares.get(decision) ?? 0) + p);
  const options = new Map(model.decisions.map((option) => [option.id, option]));
  // a sum of many shares may be a last digit above one
  const decisions = [...shares].map(([id, p]) => ({
    ...(options.get(id) ?? decisionOption(model.guide, id)),
    p: Math.min(1, p),
  }));
  const bits = decisions.reduce((sum, { p }) => (p > 0 ? sum - p * Math.log2(p) : sum), 0);
  const falling = (a: { p: number }, b: { p: number }): number => b.p - a.p;
  return {
    suspects: suspects.sort(falling),
    decisions: decisions.sort(falling),
    evidence: [...evidence],
    bits: Math.max(0, bits),
    doubt: null,
  };
}

/** Returns two suspects at once as one. */
function pairSuspect(model: Model, { one, other }: Pick<PairMass, 'one' | 'other'>): Suspect {
  const [a, b] = [model.suspects[one]!, model.suspects[other]!];
  return {
    id: `${a.id} + ${b.id}`,
    faults: [...a.faults, ...b.faults],
    decision: joinDecisions(a.decision, b.decision),
    prior: Math.exp(pairPriorLog(model, one, other)),
  };
}

function indexMost(logs: Float64Array): number {
  return logs.reduce((most, log) => Math.max(most, log), Number.NEGATIVE_INFINITY);
}
