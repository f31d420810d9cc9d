import type { Guide, Link, Repair } from '../../../src/guide/types.ts';

/** Returns the id of the decision that a fault of a link asks for: its unit, or the two units whose interface it is, in the guide's order. */
export function decisionOfLink(guide: Guide, { unit, between }: Pick<Link, 'unit' | 'between'>): string {
  if (unit !== null) return unit;
  const order = guide.units.map(({ id }) => id);
  return [...(between ?? [])].sort((a, b) => order.indexOf(a) - order.indexOf(b)).join('|');
}

/** A repair that buys a part costs what one of the units that it touches costs; cleaning, bending and referring do not. */
export function isPart(guide: Guide, repair: Repair): boolean {
  const touched = guide.links.filter((link) => repair.fixes.some((fix) => fix.link === link.id));
  const units = new Set(touched.flatMap((link) => (link.unit === null ? (link.between ?? []) : [link.unit])));
  return guide.units.some(({ id, price }) => units.has(id) && price !== undefined && repair.price >= price);
}
