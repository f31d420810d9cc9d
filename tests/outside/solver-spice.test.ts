import { Simulation } from 'eecircuit-engine';
import fc from 'fast-check';
import { beforeAll, describe, expect, test } from 'vitest';
import { type CircuitState, solveCircuit } from '../../src/guide/circuit/circuit.ts';
import { openOhm } from '../../src/guide/circuit/faults.ts';
import type { Fault, Guide } from '../../src/guide/types.ts';
import { runs } from '../support/runs.ts';
import { circuitGuide } from './solver-network.ts';

// Reference: ngspice (as WebAssembly, npm eecircuit-engine), `.op` of the same network written out as resistors and sources. The netlist
// is made here from the meaning of faults and keys, not from the solver's own list of resistances. No suffixes in it: ngspice reads 1M as 1 milliohm.

const spice = new Simulation();
beforeAll(async () => {
  await spice.start();
}, 60_000);

const networks = runs(200);
const seed = 20_260;

describe('the solver against SPICE on networks that no one drew', () => {
  const cases = fc.sample(randomCase(), { numRuns: networks, seed });

  test(`${networks} random networks with rails, keys, faults and a bridge: every node's voltage`, async () => {
    let compared = 0;
    for (const { guide, state } of cases) {
      const volts = await nodeVolts(guide, { ...state, power: 'on' }, null);
      const circuit = solveCircuit(guide, { ...state, power: 'on' });
      for (const node of guide.nodes) {
        const reference = volts.get(node)!;
        expect(Math.abs(circuit.nodeVolt(node) - reference), `${node} of ${netOf(guide, state)}`).toBeLessThan(
          1e-6 + 1e-6 * Math.abs(reference),
        );
        compared++;
      }
    }
    expect(compared).toBeGreaterThan(5 * networks);
  }, 120_000);

  test(`${networks} random networks: the resistance between two nodes, switched off`, async () => {
    const seen = { joined: 0, apart: 0 };
    for (const { guide, state } of cases) {
      const [a, b] = [guide.nodes[0]!, guide.nodes.at(-1)!];
      const volts = await nodeVolts(guide, { ...state, power: 'off' }, { a, b });
      const reference = volts.get(a)! - volts.get(b)!;
      const ohm = solveCircuit(guide, { ...state, power: 'off' }).resistanceOhm(a, b);
      if (ohm === openOhm) {
        // only the leaks join the two: some hundred megohm in SPICE, an open to the solver
        expect(reference, netOf(guide, state).join('; ')).toBeGreaterThan(5e7);
        seen.apart++;
      } else {
        expect(Math.abs(ohm / reference - 1), netOf(guide, state).join('; ')).toBeLessThan(1e-5);
        seen.joined++;
      }
    }
    expect(seen.joined).toBeGreaterThan(networks / 3);
    expect(seen.apart).toBeGreaterThan(5);
  }, 120_000);

  test('the open voltage and the source resistance that two tips see, by shorting them in SPICE', async () => {
    // Thevenin: the current through a short is the open voltage over the source resistance
    for (const { guide, state } of cases.slice(0, 60)) {
      const [a, b] = [guide.nodes[1]!, guide.nodes.at(-1)!];
      const on: CircuitState = { ...state, power: 'on' };
      const { openVolt, sourceOhm } = solveCircuit(guide, on).thevenin(a, b);
      if (sourceOhm === openOhm || a === b) continue;
      const open = await nodeVolts(guide, on, null);
      expect(Math.abs(openVolt - (open.get(a)! - open.get(b)!))).toBeLessThan(1e-6 + 1e-6 * Math.abs(openVolt));
      const loadOhm = Math.max(sourceOhm, 1);
      const loaded = await nodeVolts(guide, on, null, { a, b, ohm: loadOhm });
      const expected = (openVolt * loadOhm) / (loadOhm + sourceOhm);
      expect(Math.abs(expected - (loaded.get(a)! - loaded.get(b)!))).toBeLessThan(1e-6 + 1e-5 * Math.abs(expected));
    }
  }, 120_000);
});

interface Case {
  guide: Guide;
  state: CircuitState;
}

function randomCase(): fc.Arbitrary<Case> {
  const ohm = fc.double({ min: -2, max: 5, noNaN: true }).map((power) => 10 ** power);
  return fc.integer({ min: 4, max: 16 }).chain((count) => {
    const nodes = Array.from({ length: count }, (_, k) => `n${k}`);
    const pair = fc
      .tuple(fc.integer({ min: 0, max: count - 1 }), fc.integer({ min: 0, max: count - 1 }))
      .filter(([a, b]) => a !== b);
    const link = fc.record({
      ends: pair,
      ohm,
      kind: fc.constantFrom('trace' as const, 'spring' as const, 'switch' as const),
    });
    const fault = fc.record({
      at: fc.nat(),
      mode: fc.constantFrom('open', 'high', 'short', 'film', 'weak', 'stuck'),
      ohm: fc.option(ohm, { nil: undefined }),
      to: fc.nat(),
    });
    return fc
      .record({
        links: fc.array(link, { minLength: count - 1, maxLength: 3 * count }),
        rails: fc.array(
          fc.record({
            at: fc.integer({ min: 1, max: count - 1 }),
            volt: fc.double({ min: -5, max: 12, noNaN: true }),
            ohm,
          }),
          { minLength: 1, maxLength: 3 },
        ),
        faults: fc.array(fault, { maxLength: 3 }),
        down: fc.nat(),
        level: fc.constantFrom('normal' as const, 'dry' as const),
        bridge: fc.option(fc.record({ ends: pair, ohm }), { nil: undefined }),
      })
      .map((drawn): Case => {
        const links = drawn.links.map(({ ends: [a, b], ohm: own, kind }, k) => ({
          id: `l${k}`,
          from: nodes[a]!,
          to: nodes[b]!,
          ohm: own,
          kind,
          normally: k % 5 === 0 && kind === 'switch' ? ('closed' as const) : ('open' as const),
        }));
        const switches = links.filter((one) => one.kind === 'switch');
        const guide = circuitGuide(nodes, links, {
          ground: nodes[0]!,
          rails: drawn.rails.map(({ at, volt, ohm: own }, k) => ({ id: `v${k}`, node: nodes[at]!, volt, ohm: own })),
          keys: switches.map((one, k) => ({
            id: `k${k}`,
            name: 'key',
            link: one.id,
            with: k > 0 && k % 3 === 0 ? [`k${k - 1}`] : [],
          })),
        });
        const faults = drawn.faults.flatMap(({ at, mode, ohm: added, to }): Fault[] => {
          const target = links[at % links.length]!;
          if (mode === 'stuck') return target.kind === 'switch' ? [{ link: target.id, mode }] : [];
          if (mode === 'open') return [{ link: target.id, mode }];
          if (mode === 'short') {
            const node = nodes[to % nodes.length]!;
            return node === target.from
              ? []
              : [{ link: target.id, mode, node, ...(added === undefined ? {} : { ohm: added }) }];
          }
          return [
            { link: target.id, mode: mode as 'high' | 'film' | 'weak', ...(added === undefined ? {} : { ohm: added }) },
          ];
        });
        const pressed = switches.flatMap((_, k) => ((drawn.down >> (k % 20)) & 1 ? [`k${k}`] : []));
        const state: CircuitState = { power: 'off', pressed, faults, level: drawn.level };
        if (drawn.bridge !== undefined) {
          const [a, b] = drawn.bridge.ends;
          state.bridge = { padA: nodes[a]!, padB: nodes[b]!, ohm: drawn.bridge.ohm };
        }
        return { guide, state };
      });
  });
}

/** The network as a netlist: what each fault means, said a second time. */
function netOf(guide: Guide, state: CircuitState): string[] {
  const net = (node: string): string => (node === guide.ground ? '0' : node);
  const inner = guide.nodes.filter((node) => node !== guide.ground);
  const lines = inner.map((node) => `rleak${node} ${node} 0 ${2e9 * inner.length}`);
  const down = new Set(state.pressed);
  for (let grew = true; grew; ) {
    grew = false;
    for (const key of guide.keys) {
      for (const other of down.has(key.id) ? key.with : []) {
        if (!down.has(other)) grew = true;
        down.add(other);
      }
    }
  }
  for (const link of guide.links) {
    const faults = state.faults.filter((fault) => fault.link === link.id);
    if (faults.some((fault) => fault.mode === 'open')) continue;
    if (link.kind === 'switch') {
      const isPressed = guide.keys.some((key) => key.link === link.id && down.has(key.id));
      const isWorked = isPressed || faults.some((fault) => fault.mode === 'stuck');
      if (isWorked === (link.normally === 'closed')) continue;
    }
    let ohm = link.ohm;
    for (const fault of faults) {
      if (fault.mode === 'high') ohm += fault.ohm ?? 100;
      if (fault.mode === 'weak') ohm += fault.ohm ?? 3;
      if (fault.mode === 'film') ohm += state.level === 'dry' ? (fault.ohm ?? 20e3) : Math.min(20, fault.ohm ?? 20e3);
    }
    lines.push(`r${link.id} ${net(link.from)} ${net(link.to)} ${ohm}`);
  }
  state.faults.forEach((fault, k) => {
    if (fault.mode !== 'short') return;
    const { from } = guide.links.find((link) => link.id === fault.link)!;
    lines.push(`rshort${k} ${net(from)} ${net(fault.node!)} ${fault.ohm ?? 0.1}`);
  });
  if (state.bridge !== undefined) {
    lines.push(`rbridge ${net(state.bridge.padA)} ${net(state.bridge.padB)} ${state.bridge.ohm}`);
  }
  if (state.power === 'on') {
    guide.rails.forEach((rail, k) => {
      lines.push(`vrail${k} src${k} 0 dc ${rail.volt}`, `rrail${k} src${k} ${net(rail.node)} ${rail.ohm}`);
    });
  }
  return lines;
}

async function nodeVolts(
  guide: Guide,
  state: CircuitState,
  ampere: { a: string; b: string } | null,
  load?: { a: string; b: string; ohm: number },
): Promise<Map<string, number>> {
  const net = (node: string): string => (node === guide.ground ? '0' : node);
  const lines = netOf(guide, state);
  if (ampere !== null) lines.push(`iprobe ${net(ampere.b)} ${net(ampere.a)} dc 1`);
  if (load !== undefined) lines.push(`rload ${net(load.a)} ${net(load.b)} ${load.ohm}`);
  spice.setNetList(['network', ...lines, '.options gmin=1e-18 reltol=1e-6', '.op', '.end', ''].join('\n'));
  const result = await spice.runSim();
  const volts = new Map<string, number>(guide.ground === null ? [] : [[guide.ground, 0]]);
  for (const node of guide.nodes) {
    if (node === guide.ground) continue;
    const found = result.data.find((one) => one.name.toLowerCase() === `v(${node})`);
    const value = found?.values[0];
    // ngspice ends well on a syntax error: a voltage that isn't there must not pass
    if (typeof value !== 'number') throw new Error(`SPICE gave no voltage for ${node}:\n${lines.join('\n')}`);
    volts.set(node, value);
  }
  return volts;
}
