import type { Check, CheckKindName, Limits, Rule } from '../guide/types.ts';
import type { Asked } from './asked.ts';
import { bridgeKind } from './bridge/kind.ts';
import { dryNormalKind } from './dry-normal/kind.ts';
import type { WholeKind } from './kind.ts';
import { lookKind } from './look/kind.ts';
import { pressesKind } from './presses/kind.ts';
import { resistanceKind } from './resistance/kind.ts';
import { steadyKind } from './steady/kind.ts';
import type { TypedKind } from './typed.ts';
import { voltageKind } from './voltage/kind.ts';

const kinds = {
  resistance: resistanceKind,
  voltage: voltageKind,
  look: lookKind,
  presses: pressesKind,
  bridge: bridgeKind,
  'dry-normal': dryNormalKind,
  steady: steadyKind,
} satisfies { [K in CheckKindName]: WholeKind<K> };

// a kind that is missing above is one error there, not one at each use
type Kinds = { readonly [K in CheckKindName]: K extends keyof typeof kinds ? (typeof kinds)[K] : WholeKind<K> };

/** Every kind of check, in the order in which the published schema lists them. */
export const checkKinds = kinds as Kinds;

/**
 * What an attempt at a check of a kind is judged by: its raw codes, answers and counts, and what
 * they are held against.
 */
export type RawOf<K extends CheckKindName> = Parameters<Kinds[K]['judge']>[0];
/** What that comes to. */
export type JudgedOf<K extends CheckKindName> = ReturnType<Kinds[K]['judge']>;

/**
 * Returns what raw data of a check of this kind come to. Pure. The session judges by this while the
 * tips are on, and `verify` by the same from what stands in the record.
 */
export function judge<K extends CheckKindName>(kind: K, raw: RawOf<K>): JudgedOf<K> {
  return (checkKinds[kind].judge as (raw: RawOf<K>) => JudgedOf<K>)(raw);
}

/** Returns the limits of what a check reads; null for what only eyes see. */
export function limitsOf(check: Check): Limits | null {
  return (checkKinds[check.kind].limits as (check: Check) => Limits | null)(check);
}

/** Returns what a guide with this rule settles of every attempt at one of its checks. */
export function askedOf(check: Check, rule: Rule): Asked {
  return (checkKinds[check.kind].asked as (check: Check, rule: Rule) => Asked)(check, rule);
}

/** Returns how a person types what a check showed. */
export function typedKindOf({ kind }: Check): TypedKind<CheckKindName> {
  return checkKinds[kind].typed as TypedKind<CheckKindName>;
}
