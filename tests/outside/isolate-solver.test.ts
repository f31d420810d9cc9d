import { Simulation } from 'eecircuit-engine';
import { beforeAll, describe, expect, test } from 'vitest';
import { solveCircuit } from '../../src/guide/circuit/circuit.ts';
import { openOhm } from '../../src/guide/circuit/faults.ts';
import type { Fault, Guide } from '../../src/guide/types.ts';
import type { Channel } from '../../src/isolate/predict/channel.ts';
import { channelTable } from '../../src/isolate/predict/channel-table.ts';
import { waysOf } from '../../src/isolate/predict/likenesses.ts';
import { openCircuits } from '../../src/isolate/predict/model-circuits.ts';
import { predictChannel } from '../../src/isolate/predict/predict-fast.ts';
import { blankCell, readCell } from '../../src/isolate/predict/sights.ts';
import { isolationRules } from '../../src/isolate/rules/rules.ts';
import { scaleOf } from '../../src/isolate/suspects/scale.ts';
import { listSuspects } from '../../src/isolate/suspects/suspects.ts';
import { randomFrom, randomGuide } from './isolate-random-guide.ts';

// Two references for predictions by rank-one updates: the circuit factored anew with the faults in place, for every suspect and for pairs of them; and
// ngspice (as WebAssembly, npm eecircuit-engine), `.op` of the network with the faults written out.

const networks = 60;
/** An open as the circuit has it, not as a probe reads it. */
const exactOpens = { ...isolationRules[2]!, circuit: { ...isolationRules[2]!.circuit, openFromOhm: openOhm } };

/** A question to a device with faults. */
interface Case {
  guide: Guide;
  channel: Channel;
  faults: Fault[];
}

function casesOf(seed: number, perNetwork: number): Case[] {
  const guide = randomGuide(seed);
  const random = randomFrom(seed + 7919);
  const pick = <T>(all: readonly T[]): T => all[Math.floor(random() * all.length)]!;
  const suspects = listSuspects(guide, isolationRules[2]).filter(({ faults }) => faults.length === 1);
  return Array.from({ length: perNetwork }, (_, k): Case => {
    const isOn = guide.ground !== null && random() < 0.5;
    const level = random() < 0.5 ? ('normal' as const) : ('dry' as const);
    const pads: [string, string] = [pick(guide.nodes), pick(guide.nodes)];
    const pressed = guide.keys.filter(() => random() < 0.5).map(({ id }) => id);
    const closure =
      isOn && random() < 0.4
        ? { closure: { pads: [pick(guide.nodes), pick(guide.nodes)] as [string, string], ohm: 1 } }
        : {};
    const channel: Channel = {
      name: isOn ? 'volt' : 'ohm',
      quantity: isOn ? 'volt' : 'ohm',
      finding: { power: isOn ? 'on' : 'off', pressed, access: undefined, ...closure },
      level,
      between: pads,
    };
    const one = pick(suspects).faults;
    const two = k % 3 === 0 ? pick(suspects.filter(({ faults }) => faults[0]!.link !== one[0]!.link)).faults : [];
    return { guide, channel, faults: [...one, ...two] };
  });
}

function updated({ guide, channel, faults }: Case): number {
  const withLinks = faults.map((fault) => ({ fault, link: guide.links.findIndex(({ id }) => id === fault.link) }));
  return predictChannel(openCircuits(guide, isolationRules[2]!), channel, withLinks);
}

function solvedAnew({ guide, channel, faults }: Case): number {
  const { power, pressed, closure } = channel.finding;
  const bridge =
    closure === undefined ? {} : { bridge: { padA: closure.pads[0], padB: closure.pads[1], ohm: closure.ohm } };
  const circuit = solveCircuit(guide, { power, pressed, faults, level: channel.level, ...bridge });
  const [a, b] = channel.between as [string, string];
  return channel.quantity === 'ohm' ? circuit.resistanceOhm(a, b) : circuit.nodeVolt(a) - circuit.nodeVolt(b);
}

describe('rank-one updates against the circuit factored anew', () => {
  test(`${networks} random networks, one and two faults, switches, closures, rails`, () => {
    const seen = { open: 0, joined: 0, volts: 0, moved: 0 };
    for (let seed = 1; seed <= networks; seed++) {
      for (const one of casesOf(seed, 60)) {
        const [fast, slow] = [updated(one), solvedAnew(one)];
        const where = `seed ${seed}: ${JSON.stringify({ faults: one.faults, channel: one.channel })} ${fast} ${slow}`;
        if (one.channel.quantity === 'volt') {
          expect(Math.abs(fast - slow), where).toBeLessThan(1e-5 + 1e-5 * Math.abs(slow));
          seen.volts++;
        } else if (slow >= openOhm) {
          expect(fast, where).toBe(openOhm);
          seen.open++;
        } else {
          expect(Math.abs(fast - slow), where).toBeLessThan(1e-6 + 1e-5 * slow);
          seen.joined++;
        }
        if (Math.abs(slow - solvedAnew({ ...one, faults: [] })) > 1e-3 * Math.abs(slow)) seen.moved++;
      }
    }
    expect(seen.open).toBeGreaterThan(250);
    expect(seen.joined).toBeGreaterThan(250);
    expect(seen.volts).toBeGreaterThan(500);
    expect(seen.moved).toBeGreaterThan(500);
  });
});

describe('tables of what a check sees against the circuit factored anew', () => {
  test(`${networks} random networks, every suspect, the ends of every cell`, () => {
    let compared = 0;
    const cell = blankCell();
    const modes = new Map<string, number>();
    for (let seed = 1; seed <= networks; seed++) {
      const guide = randomGuide(seed);
      const suspects = listSuspects(guide, exactOpens);
      const circuits = openCircuits(guide, isolationRules[2]!);
      for (const { channel } of casesOf(seed, 3)) {
        const table = channelTable(circuits, suspects, waysOf(suspects), channel, null, exactOpens);
        suspects.forEach(({ faults, cells: own, link }, s) => {
          if (link === -1) return;
          own.forEach(({ ohm }, c) => {
            readCell(table, s, c, cell);
            const seen = [cell.low, cell.high];
            const solved = (['lowOhm', 'highOhm'] as const)
              .map((end) => solvedAnew({ guide, channel, faults: faultsAt(faults[0]!, ohm?.[channel.level][end]) }))
              .map((value) => scaleOf(channel.quantity, value))
              .sort((a, b) => a - b);
            const where = `seed ${seed} ${suspects[s]!.id} cell ${c} ${JSON.stringify(channel)}`;
            // on the scale: what moves a channel by less than 3e-4 is taken as none; the table keeps single precision
            // the solver's leaks lie across its large resistances; a table knows those by connectivity
            const leaks = 5e-10 * (ohm?.[channel.level].highOhm ?? 0);
            for (const end of [0, 1]) expect(Math.abs(seen[end]! - solved[end]!), where).toBeLessThan(4e-4 + leaks);
            compared++;
            modes.set(faults[0]!.mode, (modes.get(faults[0]!.mode) ?? 0) + 1);
          });
        });
      }
    }
    expect(compared).toBeGreaterThan(10_000);
    for (const mode of ['high', 'leaky', 'welded', 'stuck']) expect(modes.get(mode), mode).toBeGreaterThan(50);
  }, 60_000);
});

function faultsAt(fault: Fault, ohm: number | undefined): Fault[] {
  if (ohm === undefined) return [fault];
  // a link of all that a gap has conducts nothing to the solver
  if (ohm >= openOhm) return faultsAt(fault, 0.999 * openOhm);
  return [
    fault.mode === 'short' || fault.mode === 'leaky' ? { ...fault, ohm } : { link: fault.link, mode: 'high', ohm },
  ];
}

describe('rank-one updates against SPICE', () => {
  const spice = new Simulation();
  beforeAll(async () => {
    await spice.start();
  }, 60_000);

  test('random networks with one or two faults in place', async () => {
    let compared = 0;
    for (let seed = 101; seed <= 160; seed++) {
      for (const one of casesOf(seed, 4)) {
        const fast = updated(one);
        const lines = netOf(one);
        const [a, b] = one.channel.between as [string, string];
        const isOhm = one.channel.quantity === 'ohm';
        if (isOhm && a !== b) lines.push(`iprobe ${net(one.guide, b)} ${net(one.guide, a)} dc 1`);
        spice.setNetList(['network', ...lines, '.options gmin=1e-18 reltol=1e-6', '.op', '.end', ''].join('\n'));
        const result = await spice.runSim();
        const volt = (node: string): number => {
          if (node === one.guide.ground) return 0;
          const found = result.data.find(({ name }) => name.toLowerCase() === `v(${node})`)?.values[0];
          // ngspice ends well on a syntax error: a voltage that isn't there must not pass
          if (typeof found !== 'number') throw new Error(`SPICE gave no voltage for ${node}:\n${lines.join('\n')}`);
          return found;
        };
        const reference = volt(a) - volt(b);
        const where = `seed ${seed}: ${fast} ${reference} ${JSON.stringify(one.channel)} ${lines.join('; ')}`;
        if (isOhm && fast >= openOhm) expect(reference, where).toBeGreaterThan(5e7);
        else expect(Math.abs(fast - reference), where).toBeLessThan(isOhm ? 1e-5 + 1e-4 * Math.abs(reference) : 1e-5);
        compared++;
      }
    }
    expect(compared).toBe(240);
  }, 120_000);
});

function net(guide: Guide, node: string): string {
  return node === guide.ground ? '0' : node;
}

/** The network as a netlist, faults and all: what each fault means, said a second time. */
function netOf({ guide, channel, faults }: Case): string[] {
  const { power, pressed, closure } = channel.finding;
  const inner = guide.nodes.filter((node) => node !== guide.ground);
  const lines = inner.map((node) => `rleak${node} ${node} 0 ${2e9 * inner.length}`);
  const down = new Set(pressed.map((id) => guide.keys.find((key) => key.id === id)!.link));
  for (const link of guide.links) {
    const own = faults.filter((fault) => fault.link === link.id).map(({ mode }) => mode);
    const isWorked = down.has(link.id) || own.includes('stuck');
    const isOpen = link.kind === 'switch' && isWorked === (link.normally === 'closed') && !own.includes('welded');
    if (own.includes('leaky')) {
      const leakOhm = link.kind === 'switch' ? 10_000 : link.ohm / 2;
      lines.push(`rleaky${link.id} ${net(guide, link.from)} ${net(guide, link.to)} ${leakOhm}`);
    }
    if (own.includes('open') || isOpen) continue;
    const added =
      (own.includes('high') ? 100 : 0) +
      (own.includes('weak') ? 3 : 0) +
      (own.includes('film') ? (channel.level === 'dry' ? 20e3 : 20) : 0);
    lines.push(`r${link.id} ${net(guide, link.from)} ${net(guide, link.to)} ${link.ohm + added}`);
  }
  faults.forEach(({ mode, link, node }, k) => {
    const { from } = guide.links.find(({ id }) => id === link)!;
    if (mode === 'short') lines.push(`rshort${k} ${net(guide, from)} ${net(guide, node!)} 0.1`);
  });
  if (closure !== undefined && closure.pads[0] !== closure.pads[1]) {
    lines.push(`rclosure ${net(guide, closure.pads[0])} ${net(guide, closure.pads[1])} ${closure.ohm}`);
  }
  if (power === 'on') {
    guide.rails.forEach(({ node, volt, ohm }, k) => {
      lines.push(`vrail${k} src${k} 0 dc ${volt}`, `rrail${k} src${k} ${net(guide, node)} ${ohm}`);
    });
  }
  return lines;
}
