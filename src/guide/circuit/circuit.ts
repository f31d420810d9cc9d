import type { Fault, Guide, Level, Link, Power } from '../types.ts';
import { faultLinkOhm, openOhm, shortOhm } from './faults.ts';
import { type Conductance, FactoredNetwork } from './laplacian.ts';

/** From every node to ground, so that no node floats: 1 nS. */
export const leakSiemens = 1e-9;
/** The least resistance that an element has in the solver: 1 uohm. */
export const leastOhm = 1e-6;

/** What a device is like at a moment. */
export interface CircuitState {
  power: Power;
  /** Keys held down; keys that go down with them are added. */
  pressed: string[];
  faults: Fault[];
  level: Level;
  /** State of disassembly: the links that it takes apart are open. Absent: the closed device. */
  access?: string | undefined;
  /** Replaces the nominal resistance of links (drawn values, bounce, a fault that varies); `faults` still come on top. */
  linkOhm?: Readonly<Record<string, number>>;
  /** The probe's closure between two pads. */
  bridge?: { padA: string; padB: string; ohm: number };
}

/** A device with nothing pressed, off, and healthy. */
export const restingState: CircuitState = { power: 'off', pressed: [], faults: [], level: 'normal' };

/**
 * A solved circuit. Pads may be named by pad id or by node.
 *
 * Each method throws RangeError for a name that the guide doesn't have: look names up with `nodeOf` first.
 */
export interface Circuit {
  /** Volt over the guide's ground; a node that hangs on nothing is at 0. */
  nodeVolt(node: string): number;
  /** Ohm between two pads, rails counted by their resistance; `openOhm` when nothing joins them. */
  resistanceOhm(padA: string, padB: string): number;
  /** What two tips see: V(A) - V(B) with nothing between them, behind this resistance. */
  thevenin(padA: string, padB: string): { openVolt: number; sourceOhm: number };
  /** Whether the device answers to this input now: it is on, and the input's node is below its threshold. */
  responds(inputId: string): boolean;
  /**
   * How much of the resistance between two pads each link makes up, 0..1: the power in the link over the power in all, for a
   * current from A to B. It is d ln R / d ln r of the link as well (Cohn's theorem), so it weighs the links' spreads.
   */
  shares(padA: string, padB: string): { link: string; share: number }[];
}

/** Returns the node that a pad id or a node name stands for, or null. */
export function nodeOf(guide: Guide, padOrNode: string): string | null {
  const pad = guide.pads.find((one) => one.id === padOrNode);
  if (pad !== undefined) return pad.node;
  return guide.nodes.includes(padOrNode) ? padOrNode : null;
}

/** Returns the keys that are down when these are pressed: with them go the keys they include. */
export function keysDown(guide: Guide, pressed: readonly string[]): Set<string> {
  const down = new Set<string>();
  const visit = (id: string): void => {
    if (down.has(id)) return;
    down.add(id);
    for (const other of guide.keys.find((key) => key.id === id)?.with ?? []) visit(other);
  };
  for (const id of pressed) visit(id);
  return down;
}

/** Returns the resistance of each link in a state, in ohm, in the guide's order; `openOhm` for what does not conduct. */
export function linkResistances(guide: Guide, state: CircuitState): number[] {
  const down = keysDown(guide, state.pressed);
  const worked = new Set(guide.keys.filter((key) => down.has(key.id)).map((key) => key.link));
  const apart = guide.access.find((one) => one.id === state.access)?.parts ?? [];
  return guide.links.map((link) => (apart.includes(link.id) ? openOhm : linkOhmNow(link, state, worked.has(link.id))));
}

/**
 * Returns the resistance of one link in a state, in ohm; `openOhm` when it does not conduct.
 *
 * @param worked a key that is down works this link
 */
export function linkOhmNow(
  link: Link,
  state: Pick<CircuitState, 'faults' | 'level' | 'linkOhm'>,
  worked: boolean,
): number {
  const faults = state.faults.filter((fault) => fault.link === link.id);
  if (link.kind === 'switch') {
    const stuck = faults.some((fault) => fault.mode === 'stuck');
    const closed = (worked || stuck) !== (link.normally === 'closed');
    if (!closed) return openOhm;
  }
  const base = Math.min(openOhm, state.linkOhm?.[link.id] ?? link.ohm);
  return faults.reduce((ohm, fault) => faultLinkOhm(link, fault, state.level, ohm), base);
}

/**
 * Returns the circuit of a guide in a state, factored once; each question after that is one substitution.
 *
 * Nodes are measured against the guide's ground, or against a reference that only the leaks reach. Pads that no chain of links joins
 * read `openOhm`, decided by connectivity and not by the leaks.
 */
export function solveCircuit(guide: Guide, state: CircuitState): Circuit {
  const inner = guide.nodes.filter((node) => node !== guide.ground);
  const count = inner.length;
  const index = new Map(inner.map((node, at) => [node, at]));
  if (guide.ground !== null) index.set(guide.ground, count);
  const at = (name: string): number => {
    const node = nodeOf(guide, name);
    if (node === null) throw new RangeError(`guide '${guide.id}' has no pad or node '${name}'`);
    return index.get(node)!;
  };

  const elements: Conductance[] = [];
  const join = (from: number, to: number, ohm: number): void => {
    if (ohm < openOhm) elements.push({ from, to, siemens: 1 / Math.max(leastOhm, ohm) });
  };
  const ohms = linkResistances(guide, state);
  guide.links.forEach((link, k) => {
    join(at(link.from), at(link.to), ohms[k]!);
  });
  for (const fault of state.faults) {
    if (fault.mode !== 'short' || fault.node === undefined) continue;
    const link = guide.links.find((one) => one.id === fault.link);
    if (link !== undefined) join(at(link.from), at(fault.node), fault.ohm ?? shortOhm);
  }
  if (state.bridge !== undefined) join(at(state.bridge.padA), at(state.bridge.padB), state.bridge.ohm);
  const injected = new Float64Array(count);
  if (state.power === 'on') {
    for (const rail of guide.rails) {
      const node = at(rail.node);
      const ohm = Math.max(leastOhm, rail.ohm);
      join(node, count, ohm);
      if (node < count) injected[node]! += rail.volt / ohm;
    }
  }

  const network = new FactoredNetwork(count, elements, leakSiemens);
  const island = islands(count + 1, elements);
  let standing: Float64Array | null = null;
  const voltOf = (node: number): number => {
    standing ??= network.voltages(injected);
    return node < count ? standing[node]! : 0;
  };
  const drop = (a: number, b: number): { voltages: Float64Array; ohm: number } => {
    const current = new Float64Array(count);
    if (a < count) current[a] = 1;
    if (b < count) current[b] = -1;
    const voltages = network.voltages(current);
    return { voltages, ohm: (a < count ? voltages[a]! : 0) - (b < count ? voltages[b]! : 0) };
  };
  const between = (a: number, b: number): number => {
    if (a === b) return 0;
    return island[a] === island[b] ? Math.min(openOhm, drop(a, b).ohm) : openOhm;
  };

  return {
    nodeVolt: (node) => voltOf(at(node)),
    resistanceOhm: (padA, padB) => between(at(padA), at(padB)),
    thevenin: (padA, padB) => {
      const a = at(padA);
      const b = at(padB);
      return { openVolt: voltOf(a) - voltOf(b), sourceOhm: between(a, b) };
    },
    responds: (inputId) => {
      const input = guide.inputs.find((one) => one.id === inputId);
      if (input === undefined) throw new RangeError(`guide '${guide.id}' has no input '${inputId}'`);
      return state.power === 'on' && voltOf(at(input.node)) < input.belowVolt;
    },
    shares: (padA, padB) => {
      const a = at(padA);
      const b = at(padB);
      if (a === b || island[a] !== island[b]) return guide.links.map((link) => ({ link: link.id, share: 0 }));
      const { voltages, ohm } = drop(a, b);
      const volt = (node: number): number => (node < count ? voltages[node]! : 0);
      return guide.links.map((link, k) => {
        if (ohms[k]! >= openOhm) return { link: link.id, share: 0 };
        const across = volt(at(link.from)) - volt(at(link.to));
        return { link: link.id, share: (across * across) / Math.max(leastOhm, ohms[k]!) / ohm };
      });
    },
  };
}

/** Returns, for each node, a number that it has in common with exactly the nodes that elements join it to. */
function islands(nodes: number, elements: readonly Conductance[]): Int32Array {
  const root = Int32Array.from({ length: nodes }, (_, k) => k);
  const find = (start: number): number => {
    let k = start;
    while (root[k] !== k) {
      root[k] = root[root[k]!]!;
      k = root[k]!;
    }
    return k;
  };
  for (const { from, to } of elements) root[find(from)] = find(to);
  return root.map((_, k) => find(k));
}
