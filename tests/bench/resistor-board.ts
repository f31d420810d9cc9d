// A device for the benchmarks: a row of resistors against ground, each with a pad of its own.
import { parseGuide } from '../../src/checks/guides.ts';
import type { Guide } from '../../src/guide/types.ts';

/** Pad that all resistors have in common. */
export const groundPad = 'G';

/** Returns the pad of a resistor by its place in the row. */
export const padOf = (index: number): string => `P${index}`;
/** Returns the link of a resistor by its place in the row. */
export const linkOf = (index: number): string => `r${index}`;

/** Returns the guide of a board with the given resistors in ohm, 0.1 mohm and more; each specimen's values lie within a spread of 5 %. */
export function resistorBoard(ohms: readonly number[]): Guide {
  const parsed = parseGuide(resistorBoardText(ohms), 'resistor-row.yaml');
  if (!parsed.ok) throw new Error(parsed.problems.map((problem) => problem.what).join('; '));
  return parsed.guide;
}

/** Returns that guide as a file's text; its first resistor is checked `times` times, one check after another. */
export function resistorBoardText(ohms: readonly number[], times = 1): string {
  const nodes = ohms.map((_, index) => `N${index}`);
  const guide = {
    guide: 1,
    id: 'resistor-row',
    title: 'A row of resistors',
    device: { maker: 'Nobody', name: 'Row', kind: 'board of resistors' },
    revisions: { holds: ['A'] },
    units: [{ id: 'board', name: 'board' }],
    nodes: ['GND', ...nodes],
    ground: 'GND',
    pads: [
      { id: groundPad, node: 'GND', where: 'the long strip' },
      ...nodes.map((node, index) => ({ id: padOf(index), node, where: `number ${index} of the row` })),
    ],
    links: ohms.map((ohm, index) => ({
      id: linkOf(index),
      from: nodes[index],
      to: 'GND',
      kind: 'resistor',
      ohm: `${ohm} ohm`,
      spread: '5 %',
      unit: 'board',
    })),
    checks: Array.from({ length: times }, (_, index) => ({
      id: index === 0 ? 'first' : `first-${index + 1}`,
      kind: 'resistance',
      title: 'The first of the row',
      pads: [padOf(0), groundPad],
      limits: 'max 9 Mohm',
      minutes: 1,
      prompt: 'Touch the strip and the first of the row.',
    })),
  };
  // JSON is YAML
  return JSON.stringify(guide);
}
