import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { keysDown, nodeOf, restingState, solveCircuit } from '../../../src/guide/circuit/circuit.ts';
import { openOhm } from '../../../src/guide/circuit/faults.ts';
import { circuitGuide } from '../../outside/solver-network.ts';
import { exampleGuide, guideOf, smallGuide } from '../../support/example-guide.ts';
import { runs } from '../../support/runs.ts';

const guide = guideOf(smallGuide);

describe('the small circuit', () => {
  test('off: the key, its faults, and what is taken apart', () => {
    const ohm = (state: Partial<typeof restingState> & { access?: string; linkOhm?: Record<string, number> }) =>
      solveCircuit(guide, { ...restingState, ...state }).resistanceOhm('P1', 'P2');
    expect(ohm({})).toBe(openOhm);
    expect(ohm({ pressed: ['k'] })).toBeCloseTo(0.5, 6);
    expect(ohm({ faults: [{ link: 'sw', mode: 'stuck' }] })).toBeCloseTo(0.5, 6);
    expect(ohm({ pressed: ['k'], faults: [{ link: 'sw', mode: 'open' }] })).toBe(openOhm);
    expect(ohm({ pressed: ['k'], faults: [{ link: 'sw', mode: 'high', ohm: 47 }] })).toBeCloseTo(47.5, 4);
    expect(ohm({ pressed: ['k'], linkOhm: { sw: 0.7 } })).toBeCloseTo(0.7, 6);
    expect(ohm({ pressed: ['k'], linkOhm: { sw: openOhm } })).toBe(openOhm);
    expect(ohm({ linkOhm: { sw: 0.7 } })).toBe(openOhm);
    expect(ohm({ faults: [{ link: 'line', mode: 'short', node: 'GND' }] })).toBeCloseTo(0.1, 6);
  });

  test('on: the input answers when its node is pulled low', () => {
    const circuit = (more: object) => solveCircuit(guide, { ...restingState, power: 'on', ...more });
    expect(circuit({}).responds('in')).toBe(false);
    expect(circuit({ pressed: ['k'] }).responds('in')).toBe(true);
    expect(circuit({ pressed: ['k'], faults: [{ link: 'line', mode: 'open' }] }).responds('in')).toBe(false);
    expect(circuit({ bridge: { padA: 'P1', padB: 'P2', ohm: 0.5 } }).responds('in')).toBe(true);
    expect(solveCircuit(guide, { ...restingState, pressed: ['k'] }).responds('in')).toBe(false);
    // the 10 kohm pull-up and the rail's own ohm stand behind the pads
    expect(circuit({}).thevenin('P1', 'P2').sourceOhm).toBeCloseTo(10_001.05, 0);
    expect(circuit({}).thevenin('P2', 'P1').openVolt).toBeCloseTo(-3, 3);
  });

  test('a floating node is at 0 V, and the same point is at 0 ohm', () => {
    const circuit = solveCircuit(guide, { ...restingState, power: 'on', faults: [{ link: 'line', mode: 'open' }] });
    expect(circuit.nodeVolt('A')).toBe(0);
    expect(circuit.resistanceOhm('P1', 'P1')).toBe(0);
  });

  test('names are looked up as pads first, then as nodes', () => {
    expect(nodeOf(guide, 'P3')).toBe('B');
    expect(nodeOf(guide, 'VCC')).toBe('VCC');
    expect(nodeOf(guide, 'nothing')).toBeNull();
    expect(() => solveCircuit(guide, restingState).resistanceOhm('P1', 'nothing')).toThrow(RangeError);
    expect(() => solveCircuit(guide, restingState).responds('nothing')).toThrow(RangeError);
  });
});

test('a full press takes the half press with it', () => {
  const grip = exampleGuide('two-stage-key');
  expect([...keysDown(grip, ['full'])].sort()).toEqual(['full', 'half']);
  expect([...keysDown(grip, ['half'])]).toEqual(['half']);
  const circuit = solveCircuit(grip, { ...restingState, power: 'on', pressed: ['full'] });
  expect([circuit.responds('half'), circuit.responds('full')]).toEqual([true, true]);
});

test('keys that include each other come to an end', () => {
  const ring = circuitGuide(['a', 'b'], [{ id: 's', from: 'a', to: 'b', ohm: 1, kind: 'switch' }], {
    keys: [
      { id: 'x', name: 'x', link: 's', with: ['y'] },
      { id: 'y', name: 'y', link: 's', with: ['x'] },
    ],
  });
  expect([...keysDown(ring, ['x'])].sort()).toEqual(['x', 'y']);
});

test('a normally closed switch opens when it is worked, and stuck is open', () => {
  const closed = circuitGuide(
    ['a', 'b'],
    [{ id: 's', from: 'a', to: 'b', ohm: 2, kind: 'switch', normally: 'closed' }],
    {
      keys: [{ id: 'k', name: 'k', link: 's', with: [] }],
    },
  );
  const ohm = (pressed: string[], isStuck: boolean) =>
    solveCircuit(closed, {
      ...restingState,
      pressed,
      faults: isStuck ? [{ link: 's', mode: 'stuck' }] : [],
    }).resistanceOhm('a', 'b');
  expect(ohm([], false)).toBeCloseTo(2, 6);
  expect(ohm(['k'], false)).toBe(openOhm);
  expect(ohm([], true)).toBe(openOhm);
});

/** A network of up to 10 nodes with ohms over six decades. */
const network = fc.integer({ min: 2, max: 10 }).chain((count) =>
  fc.record({
    count: fc.constant(count),
    links: fc.array(
      fc.tuple(fc.nat({ max: count - 1 }), fc.nat({ max: count - 1 }), fc.double({ min: -2, max: 4, noNaN: true })),
      { minLength: 1, maxLength: 25 },
    ),
  }),
);
type Drawn = typeof network extends fc.Arbitrary<infer T> ? T : never;

function drawn({ count, links }: Drawn) {
  const own = links
    .filter(([a, b]) => a !== b)
    .map(([a, b, power], k) => ({ id: `l${k}`, from: `n${a}`, to: `n${b}`, ohm: 10 ** power }));
  return circuitGuide(
    Array.from({ length: count }, (_, k) => `n${k}`),
    own,
  );
}

describe('laws of resistor networks', () => {
  test('adding a link, or lowering one, never raises a resistance (Rayleigh monotonicity)', () => {
    fc.assert(
      fc.property(network, fc.nat(), fc.nat(), fc.double({ min: -2, max: 4, noNaN: true }), (net, p, q, power) => {
        const before = drawn(net);
        const [a, b] = [`n${p % net.count}`, `n${q % net.count}`];
        fc.pre(a !== b);
        const added = {
          ...net,
          links: [...net.links, [p % net.count, q % net.count, power] as [number, number, number]],
        };
        const lowered = {
          ...net,
          links: net.links.map(([u, v, w], k) =>
            k === 0 ? ([u, v, w - 1] as (typeof net.links)[0]) : ([u, v, w] as (typeof net.links)[0]),
          ),
        };
        for (const node of before.nodes.slice(1)) {
          const ohm = solveCircuit(before, restingState).resistanceOhm('n0', node);
          for (const after of [added, lowered]) {
            expect(solveCircuit(drawn(after), restingState).resistanceOhm('n0', node)).toBeLessThanOrEqual(
              ohm * (1 + 1e-9),
            );
          }
        }
      }),
      { numRuns: runs(150) },
    );
  });

  test('resistance is symmetric and a metric', () => {
    fc.assert(
      fc.property(network, (net) => {
        const circuit = solveCircuit(drawn(net), restingState);
        const ohm = (a: number, b: number) => circuit.resistanceOhm(`n${a % net.count}`, `n${b % net.count}`);
        expect(ohm(0, 1)).toBeCloseTo(ohm(1, 0), 6);
        expect(ohm(0, 2)).toBeLessThanOrEqual((ohm(0, 1) + ohm(1, 2)) * (1 + 1e-6));
      }),
      { numRuns: runs(150) },
    );
  });

  test('an open link equals a link that is not there', () => {
    fc.assert(
      fc.property(network, fc.nat(), (net, pick) => {
        const guideNow = drawn(net);
        fc.pre(guideNow.links.length > 0);
        const gone = guideNow.links[pick % guideNow.links.length]!;
        const without = { ...guideNow, links: guideNow.links.filter((link) => link !== gone) };
        const open = solveCircuit(guideNow, { ...restingState, faults: [{ link: gone.id, mode: 'open' }] });
        for (const node of guideNow.nodes.slice(1)) {
          expect(open.resistanceOhm('n0', node)).toBeCloseTo(
            solveCircuit(without, restingState).resistanceOhm('n0', node),
            6,
          );
        }
      }),
      { numRuns: runs(100) },
    );
  });

  test('a bridge is one more link', () => {
    fc.assert(
      fc.property(network, (net) => {
        const guideNow = drawn(net);
        const bridged = solveCircuit(guideNow, { ...restingState, bridge: { padA: 'n0', padB: 'n1', ohm: 2 } });
        const plain = solveCircuit(guideNow, restingState).resistanceOhm('n0', 'n1');
        const expected = plain === openOhm ? 2 : (2 * plain) / (2 + plain);
        expect(bridged.resistanceOhm('n0', 'n1') / expected).toBeCloseTo(1, 5);
      }),
      { numRuns: runs(100) },
    );
  });
});
