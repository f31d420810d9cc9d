import type { Evidence, EvidenceOf, Measured } from '../../checks/evidence.ts';
import type { Check, CheckKindName, Guide } from '../../guide/types.ts';
import type { Frame, Seen } from '../belief/seen.ts';
import type { Channel } from '../predict/channel.ts';
import type { IsolationRules } from '../rules/isolation-rules.ts';
import type { OutcomeSplit } from './outcome-pieces.ts';

/** The density of a measured value with the tips on any pads, inside its limits or not. */
type Density = (quantity: 'ohm' | 'volt', measured: Measured) => number;

type CheckOf<K extends CheckKindName> = Extract<Check, { kind: K }>;

/** What isolation knows of one kind of check, or of several that read alike. */
export interface KindModel<K extends CheckKindName> {
  /** What such a check takes as evidence: `a reading`. */
  takes: string;
  /** Tips touch pads, and may touch wrong ones; false for what only eyes see. */
  touches: boolean;
  /** Returns the numbers that such a check sees of the device; none for what only eyes see. */
  channels(guide: Guide, check: CheckOf<K>, rules: IsolationRules): Channel[];
  /** Returns the numbers in a piece of evidence. */
  measured(evidence: EvidenceOf<K>): Measured[];
  /** Returns whether evidence says nothing of any suspect. */
  isMute(check: CheckOf<K>, evidence: EvidenceOf<K>): boolean;
  /** Returns whether evidence tests its check: a person who was unsure did not. */
  isSpoken(evidence: EvidenceOf<K>): boolean;
  /** Returns whether two pieces of evidence of one check contradict each other. */
  contradicts(a: EvidenceOf<K>, b: EvidenceOf<K>): boolean;
  /** Returns how probable evidence is under a hypothesis, with the tips on the right pads. */
  likelihood(frame: Frame, check: CheckOf<K>, evidence: EvidenceOf<K>, seen: Seen): number;
  /** Returns how probable evidence is by chance. */
  chance(frame: Frame, evidence: EvidenceOf<K>, density: Density): number;
  /** Returns the classes that such a check may come to. */
  split(frame: Frame, check: CheckOf<K>): OutcomeSplit;
  /** Returns what was seen, behind the check's title, without a full stop. */
  words(check: CheckOf<K>, evidence: EvidenceOf<K>): string;
}

/** A kind as it meets any check and evidence: only ever its own. */
export type AnyKindModel = {
  [M in keyof KindModel<CheckKindName>]: KindModel<CheckKindName>[M] extends (...args: infer A) => infer R
    ? (...args: { [I in keyof A]: A[I] extends Evidence ? Evidence : A[I] extends Check ? Check : A[I] }) => R
    : KindModel<CheckKindName>[M];
};
