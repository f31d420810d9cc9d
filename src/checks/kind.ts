import type { CheckKind } from '../guide/check-kind.ts';
import type { Check, CheckKindName } from '../guide/types.ts';
import type { Limits, Outcome, Reading, Rule } from '../measure/types.ts';
import type { Asked } from './asked.ts';
import type { EvidenceOf } from './evidence.ts';
import type { TypedKind } from './typed.ts';

/** A check of one kind. */
type CheckOf<K extends CheckKindName> = Extract<Check, { kind: K }>;

/**
 * What raw data come to. `reading` is the one that a person is shown; null where nothing was read,
 * or more than one was.
 */
export interface Judged {
  reading: Reading | null;
  outcome: Outcome;
  why: string;
}

/**
 * A kind of check, whole: what a guide knows of it, how an attempt at it is judged, and what that
 * says about the device.
 *
 * Each kind says by the types of its parameters what it judges and what it takes evidence from.
 */
export interface WholeKind<K extends CheckKindName> extends CheckKind<CheckOf<K>> {
  /** Returns the limits of what such a check reads; null for what only eyes see. */
  limits(check: CheckOf<K>): Limits | null;
  /** Returns what a guide with this rule settles of every attempt at such a check. */
  asked(check: CheckOf<K>, rule: Rule): Asked;
  /**
   * Returns what raw codes, answers and counts come to. Pure: the session and `verify` ask the
   * same.
   */
  judge(raw: never): Judged;
  /** Returns what a recorded attempt says about the device; null when it says nothing. */
  evidence(attempt: never): EvidenceOf<K> | null;
  /** How a person types what such a check showed. */
  typed: TypedKind<K>;
}
