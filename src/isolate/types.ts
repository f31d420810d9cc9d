import type { Evidence } from '../checks/evidence.ts';
import type { Fault } from '../guide/types.ts';

/** A hypothesis about the device: nothing is wrong (no faults), one fault, or two at once. */
export interface Suspect {
  /** `none`, or the faults as text joined by ` + `: `contact-a=film`. */
  id: string;
  faults: Fault[];
  /** Id of the decision that it asks for. */
  decision: string;
  /** Probability before any check; all priors sum to 1. */
  prior: number;
}

/**
 * What a technician can decide on: to act on a unit, on the interface between two, on two of them
 * (double fault), or that nothing is wrong.
 */
export interface DecisionOption {
  /** `none`, a unit's id, `UNIT|UNIT` for an interface, or several of these joined by ` + `. */
  id: string;
  name: string;
  units: string[];
}

/**
 * A repair of the guide that was done, or a unit that was changed, after the first `after` pieces
 * of evidence; absent: after all of them.
 */
export type Repaired = ({ repair: string } | { unit: string }) & { after?: number };

/** Belief over the suspects of a guide after some evidence. */
export interface Belief {
  /** Sorted by falling probability; sums to 1. */
  suspects: (Suspect & { p: number })[];
  /** Sorted by falling probability; sums to 1. */
  decisions: (DecisionOption & { p: number })[];
  /** The evidence it rests on, in order. */
  evidence: Evidence[];
  /** Repairs that were done in its course; absent: none. */
  repaired?: readonly Repaired[];
  /** Entropy over decisions, in bits. */
  bits: number;
  /**
   * Checks whose evidence the leading suspect explains worse than chance would; absent: the rules
   * don't ask.
   */
  unexplained?: readonly string[];
  /**
   * Why single faults were not enough, or readings contradict each other; null when all is
   * explained. One plain sentence.
   */
  doubt: string | null;
}

/** State of the bench, for what a next check costs beyond its own minutes. */
export interface Situation {
  power: 'on' | 'off' | null;
  /** State of disassembly, an id of the guide's access list; null: closed; undefined: not known. */
  access: string | null | undefined;
  /** Checks not to be proposed: done already, skipped, or not possible. */
  done: string[];
  /** Checks that were done more than once as the device stands: not asked for again. */
  again?: string[];
}

/** A proposed check with what it is worth. */
export interface Proposal {
  check: string;
  /** Expected information about the decision, in bits. */
  bits: number;
  /** Its own minutes and those of the power and access changes before it. */
  minutes: number;
  /** It was done before: it is asked for again. */
  again?: true;
  /** The pad that is to be wiped before it is touched again, by id. */
  wipe?: string;
  /** One plain sentence: why this one next. */
  because: string;
}

/** What to do about it: a repair, with its chance and its cost. */
interface PlannedRepair {
  repair: string;
  name: string;
  /** Probability that it mends the device, its own success rate included. */
  p: number;
  price: number;
  minutes: number;
  /** Suspects that it fixes, by id. */
  fixes: string[];
}

/** A plan of repairs in order, each tested before the next. */
export interface RepairPlan {
  steps: PlannedRepair[];
  expectedPrice: number;
  expectedMinutes: number;
  /** Probability that no step mends the device. */
  left: number;
  /**
   * The plan 'replace the usual part first', for comparison; null when the guide has no such part.
   */
  usual: { repair: string; name: string; expectedPrice: number; expectedMinutes: number } | null;
}

/** What isolation has come to. */
export interface Conclusion {
  /**
   * `fault`: one decision reached the guide's confidence. `group`: no check left tells enough to
   * part these. `none`: nothing found. `unknown`: none of the faults of the guide explains what was
   * read. `open`: go on.
   */
  kind: 'fault' | 'group' | 'none' | 'unknown' | 'open';
  /** Leading decision; of a group all of them, by falling probability. */
  decisions: (DecisionOption & { p: number })[];
  /** Plain sentences: which reading, on which pads, ruled what out. */
  reasons: string[];
  plan: RepairPlan;
  /** Checks of the guide that were not done or came to nothing, by id. */
  notTested: string[];
  /**
   * Of a fault: a second one that asks for something else is as good as ruled out; false: at least
   * this. Null: not asked.
   */
  isWhole: boolean | null;
  /** For a group: what would tell them apart; else null. */
  beyond: string | null;
}
