interface CautionText {
  id: string;
  title: string;
  text: string;
  when?: string;
}

/**
 * The cautions that every short guide has, whatever its author writes: cell, live circuit, static
 * and sharp edges. Common practice, no source; local rules and licensed practice come first.
 */
export const standardCautions: readonly CautionText[] = [
  {
    id: 'cell',
    title: 'Lithium cell',
    text: 'Disconnect the cell before any ohms are measured. Never short, bend, pierce or heat it. Stop if it is swollen, warm or smells, and follow your local rules for damaged cells.',
  },
  {
    id: 'live',
    title: 'Measuring with power on',
    text: 'Battery-powered, extra-low voltage only: never with a charger or mains attached. Tips slip, so steady one hand on the bench and touch the named pads only.',
    when: 'power-on',
  },
  {
    id: 'static',
    title: 'Static and sharp edges',
    text: 'Wear a grounded wrist strap. Shield cans, springs and cut edges are sharp.',
    when: 'opened',
  },
];

/**
 * Returns the cautions of a short guide: the standard ones, each followed by what its author says
 * under the same id, and the author's others.
 */
export function withStandardCautions(own: readonly CautionText[]): CautionText[] {
  const standard = standardCautions.map((caution) => {
    const more = own.find(({ id }) => id === caution.id);
    return more === undefined ? caution : { ...caution, title: more.title, text: `${caution.text} ${more.text}` };
  });
  return [...standard, ...own.filter(({ id }) => !standardCautions.some((caution) => caution.id === id))];
}
