import { describe, expect, test } from 'vitest';
import { solveCircuit } from '../../src/guide/circuit/circuit.ts';
import { circuitGuide, equalResistors } from './solver-network.ts';

const off = { power: 'off' as const, pressed: [], faults: [], level: 'normal' as const };
/** The leaks of 1 nS take this much at the resistances used here. */
const near = 6;

describe('resistances of published networks', () => {
  // the cube of equal resistors: 5/6 R over the body, 3/4 R over a face, 7/12 R along an edge; textbook, from memory
  test('cube', () => {
    const edges: [number, number][] = [];
    for (let a = 0; a < 8; a++) for (const bit of [1, 2, 4]) if ((a & bit) === 0) edges.push([a, a | bit]);
    const circuit = solveCircuit(equalResistors(8, edges, 12), off);
    expect(circuit.resistanceOhm('n0', 'n7')).toBeCloseTo((12 * 5) / 6, near);
    expect(circuit.resistanceOhm('n0', 'n3')).toBeCloseTo((12 * 3) / 4, near);
    expect(circuit.resistanceOhm('n0', 'n1')).toBeCloseTo((12 * 7) / 12, near);
  });

  // the other platonic solids along an edge: (nodes - 1) / edges by Foster's theorem and symmetry; tetrahedron 1/2, octahedron 5/12, from memory
  test('tetrahedron and octahedron', () => {
    const tetrahedron = pairs(4);
    expect(solveCircuit(equalResistors(4, tetrahedron, 1), off).resistanceOhm('n0', 'n1')).toBeCloseTo(1 / 2, near);
    const octahedron = pairs(6).filter(([a, b]) => a + b !== 5);
    const circuit = solveCircuit(equalResistors(6, octahedron, 1), off);
    expect(circuit.resistanceOhm('n0', 'n1')).toBeCloseTo(5 / 12, near);
    expect(circuit.resistanceOhm('n0', 'n5')).toBeCloseTo(1 / 2, near);
  });

  // the complete graph: 2R/n between any two; Klein and Randic, Journal of Mathematical Chemistry 12 (1993) 81-95, from memory
  test.each([3, 5, 10, 25])('complete graph of %i nodes', (nodes) => {
    const circuit = solveCircuit(equalResistors(nodes, pairs(nodes), 10), off);
    expect(circuit.resistanceOhm('n0', `n${nodes - 1}`)).toBeCloseTo(20 / nodes, near);
  });

  // a cycle: k(n-k)/n; Klein and Randic 1993, from memory
  test('cycle', () => {
    const cycle = Array.from({ length: 12 }, (_, k): [number, number] => [k, (k + 1) % 12]);
    const circuit = solveCircuit(equalResistors(12, cycle, 1), off);
    for (let k = 1; k < 12; k++) expect(circuit.resistanceOhm('n0', `n${k}`)).toBeCloseTo((k * (12 - k)) / 12, near);
  });

  // the endless ladder of series and shunt R has the golden ratio times R at its end; a ladder of n steps has the ratio of Fibonacci numbers
  // F(2n+1)/F(2n); textbook, from memory
  test('ladder', () => {
    const rungs = 20;
    const edges: [number, number][] = [];
    for (let k = 0; k < rungs; k++) edges.push([k, k + 1], [k + 1, rungs + 1]);
    const ohm = solveCircuit(equalResistors(rungs + 2, edges, 1), off).resistanceOhm('n0', `n${rungs + 1}`);
    expect(ohm).toBeCloseTo((1 + Math.sqrt(5)) / 2, near);
    expect(ohm).toBeCloseTo(fibonacci(2 * rungs + 1) / fibonacci(2 * rungs), near);
  });

  // square meshes of unit resistors, corner to corner; a known exercise, values from memory
  test.each([
    [2, 3 / 2],
    [3, 13 / 7],
    [4, 47 / 22],
  ])('square mesh with %i cells to a side: %f from corner to corner', (cells, expected) => {
    const width = cells + 1;
    const edges: [number, number][] = [];
    for (let row = 0; row < width; row++) {
      for (let column = 0; column < width; column++) {
        const at = row * width + column;
        if (column < cells) edges.push([at, at + 1]);
        if (row < cells) edges.push([at, at + width]);
      }
    }
    const circuit = solveCircuit(equalResistors(width * width, edges, 1), off);
    expect(circuit.resistanceOhm('n0', `n${width * width - 1}`)).toBeCloseTo(expected, near);
  });

  // Wheatstone: the bridge arm carries nothing when the ratios are equal, whatever it is; textbook
  test('balanced bridge', () => {
    const bridge = (middleOhm: number) =>
      circuitGuide(
        ['top', 'left', 'right', 'gnd'],
        [
          { id: 'a', from: 'top', to: 'left', ohm: 100 },
          { id: 'b', from: 'left', to: 'gnd', ohm: 220 },
          { id: 'c', from: 'top', to: 'right', ohm: 1000 },
          { id: 'd', from: 'right', to: 'gnd', ohm: 2200 },
          { id: 'm', from: 'left', to: 'right', ohm: middleOhm },
        ],
        { ground: 'gnd', rails: [{ id: 'v', node: 'top', volt: 3, ohm: 1 }] },
      );
    for (const ohm of [0.01, 50, 1e6]) {
      const circuit = solveCircuit(bridge(ohm), { ...off, power: 'on' });
      expect(circuit.nodeVolt('left') - circuit.nodeVolt('right')).toBeCloseTo(0, 5);
      expect(circuit.thevenin('left', 'right').openVolt).toBeCloseTo(0, 5);
      expect(solveCircuit(bridge(ohm), off).resistanceOhm('top', 'gnd')).toBeCloseTo((320 * 3200) / 3520, 3);
      expect(circuit.shares('top', 'gnd').find((one) => one.link === 'm')!.share).toBeCloseTo(0, near);
    }
  });

  // delta and star of the same terminals; Kennelly, Electrical World 34 (1899) 413-414, from memory
  test('delta and star', () => {
    const [ab, bc, ca] = [30, 60, 90];
    const sum = ab + bc + ca;
    const delta = circuitGuide(
      ['a', 'b', 'c'],
      [
        { id: 'ab', from: 'a', to: 'b', ohm: ab },
        { id: 'bc', from: 'b', to: 'c', ohm: bc },
        { id: 'ca', from: 'c', to: 'a', ohm: ca },
      ],
    );
    const star = circuitGuide(
      ['a', 'b', 'c', 'm'],
      [
        { id: 'a', from: 'a', to: 'm', ohm: (ab * ca) / sum },
        { id: 'b', from: 'b', to: 'm', ohm: (ab * bc) / sum },
        { id: 'c', from: 'c', to: 'm', ohm: (bc * ca) / sum },
      ],
    );
    const [one, other] = [solveCircuit(delta, off), solveCircuit(star, off)];
    for (const [p, q] of [
      ['a', 'b'],
      ['b', 'c'],
      ['c', 'a'],
    ] as const) {
      expect(one.resistanceOhm(p, q)).toBeCloseTo(other.resistanceOhm(p, q), 6);
    }
  });
});

// R. M. Foster, The average impedance of an electrical network, Contributions to Applied Mechanics (1949) 333-340: the sum over all
// resistors of R_eff / R is the number of nodes less one. From memory.
test("Foster's theorem on a network of unequal resistors", () => {
  const nodes = 9;
  const links = pairs(nodes)
    .filter(([a, b]) => (a * 7 + b * 3) % 4 !== 0)
    .map(([a, b], k) => ({ id: `e${k}`, from: `n${a}`, to: `n${b}`, ohm: 0.05 * 1.9 ** ((k * 5) % 17) }));
  const guide = circuitGuide(
    Array.from({ length: nodes }, (_, k) => `n${k}`),
    links,
  );
  const circuit = solveCircuit(guide, off);
  const sum = links.reduce((total, link) => total + circuit.resistanceOhm(link.from, link.to) / link.ohm, 0);
  expect(sum).toBeCloseTo(nodes - 1, 6);
});

// the powers in the links make up the whole power (Tellegen), and d ln R / d ln r is a link's share (R. M. Cohn, Proceedings of the American
// Mathematical Society 1 (1950) 316-324, from memory)
test("shares add up to one and are the derivatives of Cohn's theorem", () => {
  const nodes = 7;
  const links = pairs(nodes).map(([a, b], k) => ({
    id: `e${k}`,
    from: `n${a}`,
    to: `n${b}`,
    ohm: 1 + ((k * 13) % 29),
  }));
  const names = Array.from({ length: nodes }, (_, k) => `n${k}`);
  const circuit = solveCircuit(circuitGuide(names, links), off);
  const shares = circuit.shares('n0', 'n6');
  expect(shares.reduce((sum, { share }) => sum + share, 0)).toBeCloseTo(1, 6);
  for (const { link, share } of shares) {
    const own = links.find((one) => one.id === link)!.ohm;
    const step = 1e-4;
    const up = solveCircuit(circuitGuide(names, links), { ...off, linkOhm: { [link]: own * (1 + step) } });
    const down = solveCircuit(circuitGuide(names, links), { ...off, linkOhm: { [link]: own * (1 - step) } });
    const slope =
      Math.log(up.resistanceOhm('n0', 'n6') / down.resistanceOhm('n0', 'n6')) / Math.log((1 + step) / (1 - step));
    expect(slope).toBeCloseTo(share, 5);
  }
});

test('a chain of 0.1 mohm beside megohms keeps its digits', () => {
  const guide = circuitGuide(
    ['a', 'b', 'c', 'd'],
    [
      { id: 'small', from: 'a', to: 'b', ohm: 1e-4 },
      { id: 'large', from: 'b', to: 'c', ohm: 5e6 },
      { id: 'mid', from: 'c', to: 'd', ohm: 0.02 },
    ],
  );
  const circuit = solveCircuit(guide, off);
  expect(circuit.resistanceOhm('a', 'b') / 1e-4).toBeCloseTo(1, 9);
  expect(circuit.resistanceOhm('c', 'd') / 0.02).toBeCloseTo(1, 9);
});

function pairs(nodes: number): [number, number][] {
  const list: [number, number][] = [];
  for (let a = 0; a < nodes; a++) for (let b = a + 1; b < nodes; b++) list.push([a, b]);
  return list;
}

function fibonacci(n: number): number {
  let [a, b] = [0, 1];
  for (let k = 0; k < n; k++) [a, b] = [b, a + b];
  return a;
}
