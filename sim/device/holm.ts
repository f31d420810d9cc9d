/** What a contact is made of; `deformation` is Holm's pressure factor xi, 0 < xi <= 1. */
export interface ContactMaterial {
  readonly resistivityOhmMetre: number;
  readonly hardnessPascal: number;
  readonly deformation: number;
}

/**
 * Contact of a hard-gold-plated tip or spring: resistivity (ohm metre) of gold and hardness
 * (pascal) of the plating; handbook values, from memory.
 */
export const goldContact: ContactMaterial = { resistivityOhmMetre: 2.214e-8, hardnessPascal: 1.7e9, deformation: 1 };

/**
 * Returns the constriction resistance in ohms of a metal contact under a force: R = (rho / 2) *
 * sqrt(pi * xi * H / F).
 *
 * Holm, 'Electric Contacts', contact of a single spot with plastic deformation: a spot of area F /
 * (xi H) has radius a = sqrt(F / (pi xi H)) and R = rho / (2 a). No force is no contact: Infinity.
 */
export function constrictionOhm(forceNewton: number, contact: ContactMaterial = goldContact): number {
  if (!(forceNewton > 0)) return Number.POSITIVE_INFINITY;
  return (
    (contact.resistivityOhmMetre / 2) *
    Math.sqrt((Math.PI * contact.deformation * contact.hardnessPascal) / forceNewton)
  );
}
