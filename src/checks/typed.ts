import { parseQuantity } from '../guide/file/quantity.ts';
import type { Check, CheckKindName } from '../guide/types.ts';
import type { EvidenceOf, Measured, ReadingEvidence } from './evidence.ts';

/** How a person types what a check of one kind showed. */
export interface TypedKind<K extends CheckKindName> {
  /** It was measured, or somebody observed it. */
  by: 'reading' | 'observed';
  /** A value as it is typed. */
  example: string;
  /** Returns what a text says about the device; a sentence on how to write it when it says nothing. */
  read(check: Extract<Check, { kind: K }>, text: string): EvidenceOf<K> | string;
}

/** An open path, as the probe would say it: above the end of its highest range. */
const openReading: Measured = { value: 10e6, u: 0, state: 'above-range' };
/**
 * Standard uncertainty of a number that is typed without one: 1 % and a little, as of a fair hand
 * meter (common practice, no source).
 */
const typedRelative = 0.01;
const typedLeast = { ohm: 0.005, volt: 0.005 };

/**
 * Returns `0.3ohm`, `0.3ohm+-0.02ohm` (95 %), `open` or `>1Mohm` as a measurement; undefined when
 * it is none.
 */
export function typedNumber(text: string, dimension: 'ohm' | 'volt'): Measured | undefined {
  if (dimension === 'ohm' && text.toLowerCase() === 'open') return openReading;
  const beyond = /^>\s*(.+)$/.exec(text);
  if (beyond !== null) {
    const bound = parseQuantity(beyond[1]!, dimension);
    return bound.ok && bound.value > 0 ? { value: bound.value, u: 0, state: 'above-range' } : undefined;
  }
  const [value, expanded, ...more] = text.split(/\+\/?-|±/).map((part) => parseQuantity(part, dimension));
  if (value === undefined || !value.ok || more.length > 0) return undefined;
  if (dimension === 'ohm' && value.value < 0) return undefined;
  if (expanded === undefined) {
    return { value: value.value, u: typedRelative * Math.abs(value.value) + typedLeast[dimension], state: 'in-range' };
  }
  return expanded.ok && expanded.value > 0
    ? { value: value.value, u: expanded.value / 2, state: 'in-range' }
    : undefined;
}

/** Returns a person's answer; undefined when it is none. */
export function typedAnswer(text: string): 'yes' | 'no' | 'unsure' | undefined {
  return (['yes', 'no', 'unsure'] as const).find((one) => one === text.toLowerCase());
}

/** Returns how a single reading is typed, `0.3ohm` or `0.3ohm unsteady`. */
export function typedReading<K extends ReadingEvidence['kind']>(kind: K, example: string): TypedKind<K> {
  const quantity = kind === 'voltage' ? 'voltage' : 'resistance';
  return {
    by: 'reading',
    example,
    read({ id }: { id: string }, text) {
      const match = /^(.*?)\s*,?\s*(unsteady)?$/i.exec(text)!;
      const unsteady = match[2] !== undefined;
      const dimension = kind === 'voltage' ? 'volt' : 'ohm';
      const reading = unsteady && match[1] === '' ? null : typedNumber(match[1]!, dimension);
      if (reading === undefined) return `Write a value with its unit, as ${id}=${example}.`;
      return { check: id, kind, quantity, reading, unsteady } as EvidenceOf<K>;
    },
  };
}
