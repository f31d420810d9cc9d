import type { Guide, Link } from '../types.ts';
import { type CircuitState, linkOhmIn } from './circuit-state.ts';
import { openOhm, shortOhm } from './faults.ts';
import type { Conductance } from './laplacian.ts';

/** The least resistance that an element has in the solver: 1 uohm. */
export const leastOhm = 1e-6;

/** Returns the conductance of an element, in siemens. */
export function siemensOf(ohm: number): number {
  return 1 / Math.max(leastOhm, ohm);
}

/**
 * The circuit of a device at a moment as numbered nodes and elements between them.
 *
 * Nodes are numbered in the guide's order without the ground, which comes last, as `reference`. A
 * circuit without a ground has a reference that only the solver's leaks reach.
 */
export interface Assembly {
  reference: number;
  /** Returns the number of a node or pad; -1 for a name that the guide doesn't have. */
  node(padOrNode: string): number;
  linkFrom: Int32Array;
  linkTo: Int32Array;
  /** Ohms of each link, in the guide's order; `openOhm` for what does not conduct. */
  linkOhms: Float64Array;
  elements: Conductance[];
  /** For each link its element; -1: it does not conduct. */
  elementOfLink: Int32Array;
  /** Ampere into each node from its rails, the reference left out. */
  injected: Float64Array;
}

/** Returns the circuit of a guide in a state. */
export function assembleCircuit(guide: Guide, state: CircuitState): Assembly {
  const { node, reference } = numberedNodes(guide);
  const ohmNow = linkOhmIn(guide, state);
  const linkOhms = Float64Array.from(guide.links, (link) => ohmNow(link, state.faults, state.level));
  const linkFrom = Int32Array.from(guide.links, (link) => node(link.from));
  const linkTo = Int32Array.from(guide.links, (link) => node(link.to));
  const elements: Conductance[] = [];
  const elementOfLink = Int32Array.from(linkOhms, (ohm, k) =>
    ohm >= openOhm ? -1 : elements.push({ from: linkFrom[k]!, to: linkTo[k]!, siemens: siemensOf(ohm) }) - 1,
  );
  const injected = new Float64Array(reference);
  for (const rail of state.power === 'on' ? guide.rails : []) {
    const [at, siemens] = [node(rail.node), siemensOf(rail.ohm)];
    elements.push({ from: at, to: reference, siemens });
    if (at < reference) injected[at]! += (state.railVolt?.[rail.id] ?? rail.volt) * siemens;
  }
  const join = (from: number, to: number, ohm: number): void => {
    if (from !== to) elements.push({ from, to, siemens: siemensOf(ohm) });
  };
  const linkById = new Map<string, Link>(state.faults.length === 0 ? [] : guide.links.map((link) => [link.id, link]));
  for (const fault of state.faults) {
    const link = linkById.get(fault.link);
    if (fault.mode !== 'short' || fault.node === undefined || link === undefined) continue;
    join(node(link.from), node(fault.node), fault.ohm ?? shortOhm);
  }
  if (state.bridge !== undefined) join(node(state.bridge.padA), node(state.bridge.padB), state.bridge.ohm);
  return { reference, node, linkFrom, linkTo, linkOhms, elements, elementOfLink, injected };
}

function numberedNodes(guide: Guide): Pick<Assembly, 'node' | 'reference'> {
  const inner = guide.nodes.filter((node) => node !== guide.ground);
  const index = new Map(inner.map((node, k) => [node, k]));
  if (guide.ground !== null) index.set(guide.ground, inner.length);
  for (const { id, node } of guide.pads) index.set(id, index.get(node) ?? -1);
  return { reference: inner.length, node: (name) => index.get(name) ?? -1 };
}
