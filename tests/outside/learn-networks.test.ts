import { describe, expect, test } from 'vitest';
import { fitLinks, type ReadTouch } from '../../src/learn/fit-links.ts';
import { guideOf } from '../support/example-guide.ts';

/**
 * The fit against networks whose solution handbooks print: three terminals (star and delta), and a
 * bridge off balance.
 */
function network(nodes: string[], links: [string, string, string, number][]) {
  return guideOf(
    JSON.stringify({
      guide: 1,
      id: 'network',
      title: 'A network',
      device: { maker: 'Nobody', name: 'Box', kind: 'box' },
      revisions: { holds: ['A'] },
      units: [{ id: 'box', name: 'box' }],
      nodes,
      pads: nodes.filter((node) => node.length === 1).map((node) => ({ id: node, node, where: node })),
      links: links.map(([id, from, to, ohm]) => ({ id, from, to, kind: 'resistor', ohm: `${ohm} ohm`, unit: 'box' })),
      checks: [{ id: 'c', kind: 'resistance', title: 'c', prompt: 'c', pads: ['A', 'B'], limits: 'min -1 ohm' }],
    }),
  );
}

const touch = (a: string, b: string, ohm: number): ReadTouch => ({
  id: `${a}-${b}`,
  touch: { what: 'value', pads: [a, b], access: null, pressed: [] },
  ohm,
  u: 0,
  isOpen: false,
  hasFailed: false,
});

// A. E. Kennelly, The equivalence of triangles and three-pointed stars in conducting networks,
// Electrical World and Engineer 34 (1899) 413; formulas as in any handbook, from memory.
describe('three terminals', () => {
  test('the arms of a star from the three resistances between its ends', () => {
    const guide = network(
      ['A', 'B', 'C', 'star'],
      [
        ['a', 'A', 'star', 300],
        ['b', 'B', 'star', 300],
        ['c', 'C', 'star', 300],
      ],
    );
    const [ab, bc, ca] = [300, 500, 400];
    const fit = fitLinks(guide, [touch('A', 'B', ab), touch('B', 'C', bc), touch('C', 'A', ca)])!;
    const arms = [(ab + ca - bc) / 2, (ab + bc - ca) / 2, (bc + ca - ab) / 2];
    fit.links.forEach(({ ohm }, k) => {
      expect(ohm / arms[k]!).toBeCloseTo(1, 2);
    });
  });

  test('the sides of a delta, by the star that it is equivalent to', () => {
    const guide = network(
      ['A', 'B', 'C'],
      [
        ['ab', 'A', 'B', 500],
        ['bc', 'B', 'C', 500],
        ['ca', 'C', 'A', 500],
      ],
    );
    const [a, b, c] = [100, 200, 300];
    const products = a * b + b * c + c * a;
    const fit = fitLinks(guide, [touch('A', 'B', a + b), touch('B', 'C', b + c), touch('C', 'A', c + a)])!;
    [products / c, products / a, products / b].forEach((side, k) => {
      expect(fit.links[k]!.ohm / side).toBeCloseTo(1, 2);
    });
  });
});

// R. M. Foster, The average impedance of an electrical network (1949), from memory: over the links of a
// network of n points, R between a link's ends over the link's own r sums up to n - 1. The six
// resistances below are worked out in fractions by Kirchhoff's laws, and sum up so.
test('a bridge off balance: 1, 2, 2, 1 ohm and 1 ohm across read 1.4 ohm', () => {
  const guide = network(
    ['A', 'B', 'C', 'D'],
    [
      ['ac', 'A', 'C', 1],
      ['ad', 'A', 'D', 2],
      ['cb', 'C', 'B', 2],
      ['db', 'D', 'B', 1],
      ['cd', 'C', 'D', 3],
    ],
  );
  const corners: [string, string, number][] = [
    ['A', 'B', 1.4],
    ['A', 'C', 11 / 15],
    ['A', 'D', 14 / 15],
    ['C', 'B', 14 / 15],
    ['D', 'B', 11 / 15],
    ['C', 'D', 0.6],
  ];
  const own = [1, 2, 2, 1, 1];
  const foster = [1, 2, 3, 4, 5].reduce((sum, k) => sum + corners[k]![2] / own[k - 1]!, 0);
  expect(foster).toBeCloseTo(3, 12);
  const fit = fitLinks(
    guide,
    corners.map(([a, b, ohm]) => touch(a, b, ohm)),
  )!;
  expect(fit.chiSquare).toBeLessThan(0.1);
  own.forEach((ohm, k) => {
    expect(fit.links[k]!.ohm / ohm).toBeCloseTo(1, 1);
  });
});
