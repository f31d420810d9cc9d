import type { Guide, Link } from '../../guide/types.ts';
import { decisionOf } from '../../isolate/suspects/suspects.ts';
import type { Belief } from '../../isolate/types.ts';
import type { Entry, EntryOf } from '../../record/entries/entries.ts';
import type { JobState } from '../../record/state/job-state.ts';
import type { BeliefAfter } from '../../verify/conclusions/believed.ts';
import type { PartState } from '../../view/words/part.ts';

/** A unit on the way from the key to the main board, or what joins two of them. */
export interface PathPart {
  id: string;
  name: string;
  kind: 'unit' | 'interface';
  links: string[];
  state: PartState;
  /** Probability that the fault is here when it was last concluded; null without a conclusion. */
  p: number | null;
}

/** Below this probability a part counts as cleared. */
const clearedBelow = 0.02;
/** From this one on a part of no decision counts as suspect. */
const suspectFrom = 0.05;

/**
 * Returns the units and interfaces in the order in which the key's signal meets them; those off the
 * path come last. `beliefs`: the belief over the job, for a conclusion names only the decisions it
 * rests on, and what it does not name is not cleared by that.
 */
export function pathOf(
  guide: Guide,
  state: JobState,
  entries: readonly Entry[],
  beliefs: readonly BeliefAfter[],
): PathPart[] {
  const parts: PathPart[] = [];
  for (const link of [...linksOnPath(guide), ...guide.links]) {
    const id = decisionOf(guide, link);
    const known = parts.find((part) => part.id === id);
    if (known === undefined)
      parts.push({
        id,
        name: nameOf(guide, link),
        kind: link.unit === null ? 'interface' : 'unit',
        links: [link.id],
        state: 'unknown',
        p: null,
      });
    else if (!known.links.includes(link.id)) known.links.push(link.id);
  }
  const concluded = lastConclusion(entries);
  const belief = beliefs.findLast(({ n }) => n === concluded?.n)?.belief ?? null;
  return parts.map((part) => judged(part, guide, state, concluded, belief));
}

function judged(
  part: PathPart,
  guide: Guide,
  state: JobState,
  concluded: EntryOf<'concluded'> | null,
  belief: Belief | null,
): PathPart {
  const p = belief === null ? null : probabilityAt(part.id, belief);
  if (isChanged(part, guide, state)) return { ...part, state: 'changed', p };
  if (p === null || concluded === null) return { ...part, p };
  const leading = concluded.conclusion === 'fault' && isIn(part.id, concluded.decisions[0]?.id ?? '');
  if (leading) return { ...part, state: 'at-fault', p };
  return { ...part, state: p >= suspectFrom ? 'suspect' : p < clearedBelow ? 'cleared' : 'unknown', p };
}

function lastConclusion(entries: readonly Entry[]): EntryOf<'concluded'> | null {
  return entries.findLast((entry): entry is EntryOf<'concluded'> => entry.kind === 'concluded') ?? null;
}

/** A decision names several places joined by ` + ` when two faults are at work. */
function isIn(id: string, decision: string): boolean {
  return decision.split(' + ').includes(id);
}

function probabilityAt(id: string, { decisions }: Belief): number {
  return decisions.reduce((sum, decision) => sum + (isIn(id, decision.id) ? decision.p : 0), 0);
}

function isChanged(part: PathPart, guide: Guide, state: JobState): boolean {
  return state.repairs.some(({ repair, unit }) => {
    if (unit !== null) return unit === part.id;
    const fixed = guide.repairs.find(({ id }) => id === repair)?.fixes ?? [];
    return fixed.some(({ link }) => part.links.includes(link));
  });
}

/**
 * The links of the shortest way from the first key's switch to the first input; empty when there is
 * none.
 */
function linksOnPath(guide: Guide): Link[] {
  const key = guide.links.find(({ id }) => id === guide.keys[0]?.link);
  const goal = guide.inputs[0]?.node;
  if (key === undefined || goal === undefined) return [];
  const cameBy = new Map<string, Link | null>([
    [key.from, null],
    [key.to, null],
  ]);
  const queue = [key.from, key.to];
  for (let node = queue.shift(); node !== undefined && node !== goal; node = queue.shift()) {
    for (const link of guide.links) {
      const next = link.from === node ? link.to : link.to === node ? link.from : null;
      if (link === key || next === null || next === guide.ground || cameBy.has(next)) continue;
      cameBy.set(next, link);
      queue.push(next);
    }
  }
  const way: Link[] = [];
  for (let node = goal, link = cameBy.get(node); link != null; link = cameBy.get(node)) {
    way.unshift(link);
    node = link.from === node ? link.to : link.from;
  }
  return [key, ...way];
}

function nameOf(guide: Guide, link: Link): string {
  const unitName = (id: string): string => guide.units.find((unit) => unit.id === id)?.name ?? id;
  if (link.unit !== null) return unitName(link.unit);
  const [a, b] = link.between!;
  return `contacts of ${unitName(a)} and ${unitName(b)}`;
}
