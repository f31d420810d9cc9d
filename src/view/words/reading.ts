import { formatReading } from '../../measure/reading/format.ts';
import type { Quantity, Reading } from '../../measure/types.ts';
import type { StoredReading } from '../../record/entries/entries.ts';
import { coverageFactor } from '../../statistics/distributions/distribution.ts';

/** What a record holds of a reading. */
type Stored = Pick<Reading, 'value' | 'u' | 'dof' | 'state'>;

/** Returns a stored reading as a whole one; out of range, its value is the end of the range. */
export function asReading(stored: Stored, quantity: Reading['quantity']): Reading {
  return { ...stored, quantity, rangeEnd: Math.abs(stored.value), parts: [] };
}

/** A reading of a record, ready for a picture and for words. In ohm or volt. */
export interface ShownValue {
  quantity: Quantity;
  value: number;
  /** Half width of the 95 % interval. */
  expanded: number;
  state: Reading['state'];
  text: string;
}

/** Returns a stored reading with its 95 % interval, and as people write it. */
export function shownValue(reading: StoredReading, quantity: Quantity): ShownValue {
  const { value, u, dof, state } = reading;
  const text = formatReading(asReading(reading, quantity));
  return { quantity, value, expanded: coverageFactor(0.95, dof) * u, state, text };
}

/**
 * A reading in parts, so that the number can be drawn large. `number` is `---` without a reading.
 */
export interface ReadingParts {
  number: string;
  unit: string;
  /**
   * Expanded uncertainty with its unit (`+/- 0.06 ohm`), or what stands in its place (`open`);
   * empty without a reading.
   */
  beside: string;
}

/** Returns a reading in parts, by the same rules and digits as everywhere else. */
export function readingParts(reading: Reading | null): ReadingParts {
  if (reading === null || reading.state === 'unreadable') return { number: '---', unit: '', beside: '' };
  const text = formatReading(reading);
  const found = /^([<>] )?(\S+) (\S+)(?: \+\/- (.+)| \((.+)\))?$/.exec(text);
  if (found === null) return { number: text, unit: '', beside: '' };
  const [, bound = '', number = '', unit = '', uncertainty, words = ''] = found;
  return { number: `${bound}${number}`, unit, beside: uncertainty === undefined ? words : `+/- ${uncertainty}` };
}
