import type { Guide } from '../types.ts';
import type { Circuit } from './circuit.ts';

/**
 * Returns the relative spread of the resistance between two pads that the spreads of the links
 * make, one standard deviation.
 */
export function relativeSpread(guide: Guide, circuit: Circuit, pads: [string, string]): number {
  const spreads = new Map(guide.links.map((link) => [link.id, link.spread]));
  const squares = circuit.shares(...pads).map(({ link, share }) => (share * (spreads.get(link) ?? 0)) ** 2);
  return Math.sqrt(squares.reduce((sum, square) => sum + square, 0));
}
