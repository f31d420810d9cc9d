import type { Evidence } from '../../checks/evidence.ts';
import { kindModelOf } from '../kinds/registry.ts';
import type { Model } from '../predict/model.ts';
import type { Belief } from '../types.ts';

/**
 * Returns in one plain sentence why a belief is doubtful: a check that was answered twice
 * differently, or evidence that no single fault explains; null when all is explained.
 *
 * @param puzzles numbers of the pieces of evidence that the leading single fault of their time
 *   explains worse than chance
 */
export function doubtOf({ guide }: Model, belief: Belief, puzzles: readonly number[]): string | null {
  const titleOf = (id: string): string => `'${guide.checks.find((check) => check.id === id)?.title ?? id}'`;
  const twice = contradicted(belief);
  if (twice !== null) return `${titleOf(twice)} came out twice differently; do it once more.`;
  if (puzzles.length === 0) return null;
  const names = [...new Set(puzzles.map((at) => belief.evidence[at]!.check))].map(titleOf);
  const listed = names.length < 2 ? names.join('') : `${names.slice(0, -1).join(', ')} and ${names.at(-1)}`;
  const leading = belief.suspects[0]!;
  if (leading.faults.length > 1) return `No single fault explains ${listed} and the rest; two faults at once do.`;
  const [them, stay] = names.length === 1 ? ['it', 'it stays'] : ['them', 'they stay'];
  return `No single fault explains ${listed} and the rest: do ${them} again; if ${stay}, two faults at once are likely.`;
}

/** What was measured before a repair is not held against what is measured after it. */
function contradicted({ evidence, repaired = [] }: Belief): string | null {
  const before = new Map<string, Evidence>();
  for (const [at, one] of evidence.entries()) {
    if (repaired.some(({ after }) => after === at)) before.clear();
    const last = before.get(one.check);
    if (last !== undefined && kindModelOf(one).contradicts(last, one)) return one.check;
    before.set(one.check, one);
  }
  return null;
}
