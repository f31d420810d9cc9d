import { contactKinds, type LinkKind } from '../../guide/circuit/link-kinds.ts';
import type { Guide } from '../../guide/types.ts';
import type { IsolationRules } from '../rules/isolation-rules.ts';
import { evenly, type FaultCell } from './fault-cells.ts';
import { shortsBetweenNets } from './unknown-shorts.ts';

/** Something that no fault of a guide stands for. */
export type Cause =
  /** It may show in any check, in any way. */
  | { kind: 'any' }
  /** A short between two nodes. */
  | { kind: 'short'; a: string; b: string }
  /** A rail off its value. */
  | { kind: 'rail'; rail: string }
  /** An input that never answers. */
  | { kind: 'input'; input: string }
  /** A pad that the tip does not get through to: lacquer, flux, oxide. */
  | { kind: 'pad'; pad: string }
  /**
   * All links of some kinds have other ohms than the guide says: worn contacts, or another
   * revision's values.
   */
  | { kind: 'values'; of: readonly LinkKind[] };

/** A cause with the cells that its ohms or factors are cut into. */
export interface UnknownCause {
  id: string;
  cause: Cause;
  cells: FaultCell[];
  /** Share of all that is unknown. */
  share: number;
}

/** Causes that give the device other values than the guide's. */
export type OtherCause = Extract<Cause, { kind: 'rail' | 'values' }>;

/** What a device has in place of a guide's ohms and volts. */
export interface OtherValues {
  linkOhm?: Readonly<Record<string, number>>;
  railVolt?: Readonly<Record<string, number>>;
}

const others = new WeakMap<OtherCause, Map<number, OtherValues>>();

/**
 * Returns the values of a device on which a cause multiplies those of the guide by a factor; the
 * same object each time.
 */
export function otherValues(guide: Guide, cause: OtherCause, times: number): OtherValues {
  const known = others.get(cause) ?? new Map<number, OtherValues>();
  others.set(cause, known);
  const made = known.get(times) ?? valuesTimes(guide, cause, times);
  known.set(times, made);
  return made;
}

function valuesTimes(guide: Guide, cause: OtherCause, times: number): OtherValues {
  if (cause.kind === 'rail') {
    return { railVolt: { [cause.rail]: times * guide.rails.find(({ id }) => id === cause.rail)!.volt } };
  }
  const those = guide.links.filter(({ kind }) => cause.of.includes(kind));
  return { linkOhm: Object.fromEntries(those.map(({ id, ohm }) => [id, times * ohm])) };
}

/** Returns what a guide doesn't know; shares sum to 1. Empty under rules without it. */
export function unknownCauses(guide: Guide, rules: IsolationRules['unknown']): UnknownCause[] {
  if (rules.share === 0) return [];
  const even = (part: number, causes: Omit<UnknownCause, 'share'>[]): UnknownCause[] =>
    causes.map((one) => ({ ...one, share: part / causes.length }));
  const all = [
    ...even(rules.anyPart, [{ id: 'unknown', cause: { kind: 'any' }, cells: [{ ohm: null, weight: 1 }] }]),
    ...even(rules.shortPart, shortCauses(guide, rules)),
    ...even(
      rules.railPart,
      guide.rails.map(({ id }) => ({
        id: `unknown:rail:${id}`,
        cause: { kind: 'rail', rail: id },
        cells: factorCells(rules.railFactors),
      })),
    ),
    ...even(
      rules.inputPart,
      guide.inputs.map(({ id }) => ({
        id: `unknown:input:${id}`,
        cause: { kind: 'input', input: id },
        cells: [{ ohm: null, weight: 1 }],
      })),
    ),
    ...even(rules.valuesPart, valueCauses(guide, rules)),
    ...even(rules.revisionPart, revisionCauses(guide, rules)),
    ...even(rules.padPart, padCauses(guide, rules)),
  ];
  const total = all.reduce((sum, { share }) => sum + share, 0);
  return all.map((one) => ({ ...one, share: one.share / total }));
}

function shortCauses(guide: Guide, rules: IsolationRules['unknown']): Omit<UnknownCause, 'share'>[] {
  const cells = evenly({ lowOhm: rules.shortLowOhm, highOhm: rules.shortHighOhm }, rules.shortCells);
  return shortsBetweenNets(guide, rules).map(([a, b]) => ({
    id: `unknown:short:${a}-${b}`,
    cause: { kind: 'short', a, b },
    cells,
  }));
}

/** On top of each pad that a check touches. */
function padCauses(guide: Guide, rules: IsolationRules['unknown']): Omit<UnknownCause, 'share'>[] {
  const cells = evenly({ lowOhm: rules.padLowOhm, highOhm: rules.padHighOhm }, rules.padCells);
  const touched = new Set(guide.checks.flatMap((check) => ('pads' in check ? check.pads : [])));
  return guide.pads
    .filter(({ id }) => touched.has(id))
    .map(({ id }) => ({ id: `unknown:pad:${id}`, cause: { kind: 'pad', pad: id }, cells }));
}

/**
 * Lines and resistors of other values, each by itself: a channel may read anywhere between the
 * ends.
 */
function revisionCauses(guide: Guide, rules: IsolationRules['unknown']): Omit<UnknownCause, 'share'>[] {
  const groups: (readonly LinkKind[])[] = [['trace', 'flex'], ['resistor']];
  return groups
    .filter((of) => guide.links.some(({ kind }) => of.includes(kind)))
    .map((of) => ({ ...valuesOf(of, rules.revisionFactors), id: `unknown:revision:${of.join('+')}` }));
}

/** Each kind of contact alone, all of them together, and the resistors. */
function valueCauses(guide: Guide, rules: IsolationRules['unknown']): Omit<UnknownCause, 'share'>[] {
  const present = contactKinds.filter((kind) => guide.links.some((link) => link.kind === kind));
  const groups: (readonly LinkKind[])[] = present.map((kind) => [kind]);
  if (present.length > 1) groups.push(present);
  const worn = groups.map((of) => valuesOf(of, rules.wornFactors));
  const hasResistors = guide.links.some(({ kind }) => kind === 'resistor');
  return hasResistors ? [...worn, valuesOf(['resistor'], rules.valueFactors)] : worn;
}

function valuesOf(of: readonly LinkKind[], factors: IsolationRules['unknown']['wornFactors']) {
  return { id: `unknown:values:${of.join('+')}`, cause: { kind: 'values', of } as const, cells: factorCells(factors) };
}

function factorCells(factors: readonly (readonly [number, number])[]): FaultCell[] {
  return factors.map(([low, high]) => ({ ohm: null, factor: { low, high }, weight: 1 / factors.length }));
}
