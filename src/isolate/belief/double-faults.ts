import type { Evidence } from '../../checks/evidence.ts';
import type { Model } from '../predict/model.ts';
import { type CellOf, pairSeen } from '../suspects/pair-cells.ts';
import type { BeliefState, PairMass } from './belief-state.ts';
import { type EvidenceEffect, evidenceEffect, logAt, logOfCell } from './evidence-effect.ts';
import { likelihood } from './likelihood.ts';

/**
 * Returns the pieces of evidence, by number, that the leading suspect explains worse than chance
 * would: the tips on any pads, a person who guesses.
 */
export function unexplained(model: Model, leadingCell: number, evidence: readonly Evidence[]): number[] {
  return evidence.flatMap((one, at) => {
    const effect = evidenceEffect(model, one);
    return logAt(model, effect, leadingCell) < effect.chanceLog ? [at] : [];
  });
}

/**
 * Returns the likeliest cell of all that the guide holds: what it doesn't know keeps nobody from
 * looking for two faults of it.
 */
export function likeliestOfGuide({ suspects, cellStart }: Model, cells: Float64Array): number {
  let best = 0;
  suspects.forEach(({ cause }, s) => {
    if (cause !== undefined) return;
    for (let k = cellStart[s]!; k < cellStart[s + 1]!; k++) if (cells[k]! > cells[best]!) best = k;
  });
  return best;
}

/**
 * Returns the pieces of evidence, by number, that the leader explains worse than chance would: the
 * likeliest cell of a fault of the guide, or pair of cells, of all that is believed in the end.
 * What the guide doesn't know explains nothing by itself, so where that leads, the likeliest of the
 * guide counts.
 */
export function unexplainedBy(model: Model, { cells, pairs }: BeliefState, evidence: readonly Evidence[]): number[] {
  const single = likeliestOfGuide(model, cells);
  let best: { pair: PairMass; at: number } | null = null;
  let most = cells[single]!;
  for (const pair of pairs) {
    pair.log.forEach((log, at) => {
      if (log > most) [best, most] = [{ pair, at }, log];
    });
  }
  if (best === null) return unexplained(model, single, evidence);
  const { pair, at } = best as { pair: PairMass; at: number };
  const width = model.suspects[pair.other]!.cells.length;
  const one = { suspect: pair.one, cell: Math.floor(at / width) };
  const other = { suspect: pair.other, cell: at % width };
  return evidence.flatMap((piece, k) => {
    const effect = evidenceEffect(model, piece);
    return pairLog(model, effect, piece, one, other) < effect.chanceLog ? [k] : [];
  });
}

/**
 * Returns the pairs of suspects that may explain the evidence together, with their prior masses,
 * all cells.
 *
 * Pairs are made of a suspect that explains something which the leader doesn't and any likely other
 * one; links side by side, where only both together show, are added. The best by a reckoning that
 * takes each piece of evidence as the better of the two explains it are kept.
 */
export function likelyPairs(
  model: Model,
  state: BeliefState,
  evidence: readonly Evidence[],
  puzzles: readonly number[],
): PairMass[] {
  const effects = evidence.map((one) => evidenceEffect(model, one));
  const best = effects.map((effect) => bestOfSuspects(model, effect));
  const columns = new Map<number, Float64Array>();
  const columnOf = (s: number): Float64Array => {
    const column = columns.get(s) ?? Float64Array.from(best, (logs) => logs[s]!);
    columns.set(s, column);
    return column;
  };
  const healthyLogs = Float64Array.from(effects, ({ healthyLog }) => healthyLog);
  const mass = suspectMass(model, state);
  const byMass = (a: number, b: number): number => mass[b]! - mass[a]!;
  const suspects = model.suspects.flatMap(({ link }, s) => (link === -1 ? [] : [s]));
  const solves = (s: number): boolean =>
    puzzles.some((at) => best[at]![s]! > Math.max(effects[at]!.chanceLog, effects[at]!.healthyLog));
  const solvers = suspects.filter(solves).sort(byMass).slice(0, model.rules.pairs.mostPartners);
  const others = [...new Set([...suspects.slice().sort(byMass).slice(0, model.rules.pairs.mostPartners), ...solvers])];

  const scored = new Map<number, { one: number; other: number; score: number }>();
  const consider = (a: number, b: number): void => {
    const [one, other] = a < b ? [a, b] : [b, a];
    if (model.suspects[one]!.link === model.suspects[other]!.link) return;
    const key = one * model.suspects.length + other;
    if (scored.has(key)) return;
    const [xs, ys] = [columnOf(one), columnOf(other)];
    let score = pairPriorLog(model, one, other);
    for (let at = 0; at < xs.length; at++) {
      const better = Math.max(xs[at]!, ys[at]!);
      score += better === Number.NEGATIVE_INFINITY ? healthyLogs[at]! : better;
    }
    scored.set(key, { one, other, score });
  };
  for (const a of solvers) for (const b of others) if (a !== b) consider(a, b);
  const side = sideBySide(model, best, puzzles);
  const chosen = [...scored.values()].sort((a, b) => b.score - a.score).slice(0, model.rules.pairs.mostPairs);
  const top = chosen[0]?.score ?? Number.NEGATIVE_INFINITY;
  return rated(model, evidence, [...chosen.filter(({ score }) => score > top - model.rules.pairs.worstGap), ...side]);
}

/**
 * Pairs looked at in the two likeliest cells of each; the best get a mass for all cells that may
 * matter.
 */
function rated(
  model: Model,
  evidence: readonly Evidence[],
  pairs: readonly { one: number; other: number }[],
): PairMass[] {
  const effects = evidence.map((one) => evidenceEffect(model, one));
  const known = new Map<number, number[]>();
  const cellsOf = (suspect: number): number[] => {
    const cells = known.get(suspect) ?? likeliestCells(model, suspect, effects);
    known.set(suspect, cells);
    return cells;
  };
  const rate = ({ one, other }: { one: number; other: number }): number => {
    const tries = cellsOf(one)
      .slice(0, model.rules.pairs.ratedCells)
      .flatMap((a) =>
        cellsOf(other)
          .slice(0, model.rules.pairs.ratedCells)
          .map((b) => [a, b] as const),
      );
    const logs = tries.map(([a, b]) =>
      effects.reduce(
        (sum, effect, at) =>
          sum + pairLog(model, effect, evidence[at]!, { suspect: one, cell: a }, { suspect: other, cell: b }),
        pairPriorLog(model, one, other),
      ),
    );
    return Math.max(...logs);
  };
  return pairs
    .map((pair) => ({ pair, log: rate(pair) }))
    .sort((a, b) => b.log - a.log)
    .slice(0, model.rules.pairs.mostKept)
    .map(({ pair: { one, other } }) => {
      const [first, second] = [model.suspects[one]!.cells, model.suspects[other]!.cells];
      const prior = pairPriorLog(model, one, other);
      const log = new Float64Array(first.length * second.length).fill(Number.NEGATIVE_INFINITY);
      for (const a of cellsOf(one)) {
        for (const b of cellsOf(other)) {
          log[a * second.length + b] = prior + Math.log(first[a]!.weight * second[b]!.weight);
        }
      }
      return { one, other, log };
    });
}

/**
 * A suspect's cells that explain most of what beats chance, best first; what they don't explain may
 * be the other fault's.
 */
function likeliestCells({ suspects, rules }: Model, suspect: number, effects: readonly EvidenceEffect[]): number[] {
  const gain = suspects[suspect]!.cells.map((_, c) =>
    effects.reduce((sum, effect) => sum + Math.max(0, logOfCell(effect, suspect, c) - effect.chanceLog), 0),
  );
  return gain
    .map((_, c) => c)
    .sort((a, b) => gain[b]! - gain[a]!)
    .slice(0, rules.pairs.mostCells);
}

/** Takes a piece of evidence into a pair's masses, in place. */
export function addPairEvidence(model: Model, pair: PairMass, evidence: Evidence): void {
  const width = model.suspects[pair.other]!.cells.length;
  const effect = evidenceEffect(model, evidence);
  for (let k = 0; k < pair.log.length; k++) {
    if (pair.log[k] === Number.NEGATIVE_INFINITY) continue;
    const one = { suspect: pair.one, cell: Math.floor(k / width) };
    pair.log[k]! += pairLog(model, effect, evidence, one, { suspect: pair.other, cell: k % width });
  }
}

function pairLog(model: Model, effect: EvidenceEffect, evidence: Evidence, one: CellOf, other: CellOf): number {
  const { rowOf } = effect.sights;
  if (rowOf[one.suspect] === -1) return logOfCell(effect, other.suspect, other.cell);
  if (rowOf[other.suspect] === -1) return logOfCell(effect, one.suspect, one.cell);
  const first = model.cellStart[one.suspect]! + one.cell;
  const second = model.cellStart[other.suspect]! + other.cell;
  const known = effect.pairs.get(first)?.get(second);
  if (known !== undefined) return known;
  const table = model.table(evidence.check)!;
  const seen = pairSeen(model, table, one, other);
  const log = Math.log(Math.max(Number.MIN_VALUE, likelihood(model, table.check, evidence, seen)));
  const row = effect.pairs.get(first) ?? new Map<number, number>();
  effect.pairs.set(first, row.set(second, log));
  return log;
}

/**
 * Prior of two faults at once: independent ones, all pairs together a fixed share of devices with a
 * fault.
 */
export function pairPriorLog({ suspects, rules }: Model, one: number, other: number): number {
  const faulty = 1 - suspects[0]!.prior;
  const [a, b] = [suspects[one]!.prior / faulty, suspects[other]!.prior / faulty];
  return Math.log(2 * rules.pairs.secondFaultShare * a * b * faulty);
}

const bests = new WeakMap<EvidenceEffect, Float64Array>();

/**
 * For each suspect how well its best cell explains the evidence; -Infinity of one that makes no
 * difference to it.
 */
function bestOfSuspects({ suspects }: Model, effect: EvidenceEffect): Float64Array {
  const known = bests.get(effect);
  if (known !== undefined) return known;
  const best = new Float64Array(suspects.length).fill(Number.NEGATIVE_INFINITY);
  for (const s of effect.sights.concerned) {
    let most = Number.NEGATIVE_INFINITY;
    for (let c = 0; c < suspects[s]!.cells.length; c++) most = Math.max(most, logOfCell(effect, s, c));
    best[s] = most;
  }
  bests.set(effect, best);
  return best;
}

function suspectMass({ suspects, cellStart }: Model, { cells }: BeliefState): Float64Array {
  return Float64Array.from(suspects, (_, s) => {
    let most = Number.NEGATIVE_INFINITY;
    for (let k = cellStart[s]!; k < cellStart[s + 1]!; k++) most = Math.max(most, cells[k]!);
    return most;
  });
}

/** Opens of links that join the same two nodes, where a puzzle lies across them. */
function sideBySide(
  model: Model,
  best: readonly Float64Array[],
  puzzles: readonly number[],
): { one: number; other: number }[] {
  const touched = new Set<number>();
  for (const at of puzzles) {
    best[at]!.forEach((log, s) => {
      if (log !== Number.NEGATIVE_INFINITY) touched.add(model.suspects[s]!.link);
    });
  }
  const byEnds = new Map<string, number[]>();
  model.suspects.forEach(({ link, faults }, s) => {
    if (!touched.has(link) || faults[0]?.mode !== 'open') return;
    const { from, to } = model.guide.links[link]!;
    const key = [from, to].sort().join('\n');
    byEnds.set(key, [...(byEnds.get(key) ?? []), s]);
  });
  return [...byEnds.values()].flatMap((all) =>
    all.flatMap((one, k) => all.slice(k + 1).map((other) => ({ one, other }))),
  );
}
