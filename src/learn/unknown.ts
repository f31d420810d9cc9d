import type { LinkKind } from '../guide/circuit/link-kinds.ts';
import type { Guide } from '../guide/types.ts';

/**
 * How little is known of a link's ohms before it is measured: one standard deviation of ln R about
 * the table's value. Common practice, no source.
 */
const unknownSd: Readonly<Record<LinkKind, number>> = {
  spring: 0.7,
  landing: 0.7,
  trace: 1.2,
  flex: 1.2,
  joint: 0.7,
  connector: 0.7,
  switch: 1.5,
  resistor: 2.5,
  'chip-pin': 0.7,
};

/** Returns the standard deviation of ln R of each link before it is measured, in the guide's order. */
export function priorSds(guide: Guide): number[] {
  return guide.links.map(({ kind }) => unknownSd[kind]);
}

/** A joint reads differently each time the tips stand on it: 3 mohm; and the probe by half a percent. */
const seatOhm = 0.003;
const repeatShare = 0.005;

/**
 * Returns the standard deviation of ln R of a reading, its own uncertainty (ohm) and how the tips
 * stand together.
 */
export function readingSd(ohm: number, u = 0): number {
  return Math.hypot(repeatShare, Math.hypot(seatOhm, u) / Math.max(ohm, seatOhm));
}
