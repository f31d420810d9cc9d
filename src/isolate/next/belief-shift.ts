import { notInGuide } from '../suspects/suspects.ts';
import type { Belief } from '../types.ts';

/**
 * A decision counts as ruled out when the evidence is this much less probable under it than under
 * the one it speaks for.
 */
const ruledOut = 0.05;
/** The same for a word against it. */
const lessProbable = 0.3;
/** Decisions less probable than this before the evidence are not worth a word. */
const leastNamed = 0.03;
/** A decision is spoken for when it becomes so much more probable. */
const leastRise = 0.08;

/**
 * What a piece of evidence did to a belief: ids of decisions, no two lists with one that is a part
 * of another's.
 */
export interface BeliefShift {
  out: string[];
  against: string[];
  up: string[];
  /** All others are ruled out. */
  isAll: boolean;
}

/** Returns which decisions a piece of evidence spoke for and against. */
export function beliefShift(before: Pick<Belief, 'decisions'>, after: Pick<Belief, 'decisions'>): BeliefShift {
  const shareBefore = new Map(before.decisions.map(({ id, p }) => [id, p]));
  const shareAfter = new Map(after.decisions.map(({ id, p }) => [id, p]));
  const ids = [...shareAfter.keys()].filter((id) => id !== notInGuide && (shareBefore.get(id) ?? 0) >= leastNamed);
  const gain = (id: string): number => shareAfter.get(id)! / shareBefore.get(id)!;
  const most = ids.reduce((best, id) => Math.max(best, gain(id)), 0);
  const up = ids.filter((id) => shareAfter.get(id)! - shareBefore.get(id)! >= leastRise);
  // what is spoken for, alone or as one of two, is not spoken against in the same breath
  const isUp = (id: string): boolean => up.some((one) => partsOf(one).some((part) => partsOf(id).includes(part)));
  const down = ids.filter((id) => !isUp(id));
  const out = down.filter((id) => gain(id) < ruledOut * most);
  const against = down.filter((id) => gain(id) < lessProbable * most && !out.includes(id));
  return { out, against, up, isAll: up.length > 0 && out.length > 2 && out.length + up.length === ids.length };
}

/** The decisions that two faults at once ask for. */
function partsOf(id: string): string[] {
  return id.split(' + ');
}
