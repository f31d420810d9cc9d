import type { Guide } from '../types.ts';
import { assembleCircuit, leastOhm } from './assembly.ts';
import { type CircuitState, nodeOf } from './circuit-state.ts';
import { openOhm } from './faults.ts';
import { type Conductance, FactoredNetwork } from './laplacian.ts';

export { type CircuitState, keysDown, nodeOf, restingState } from './circuit-state.ts';

/**
 * From all nodes together to ground, so that no node floats: 0.5 nS, far below the 100 nS of the
 * end of the probe's range.
 */
const leakSiemens = 5e-10;

/**
 * A solved circuit. Pads may be named by pad id or by node.
 *
 * Each method throws RangeError for a name that the guide doesn't have: look names up with `nodeOf`
 * first.
 */
export interface Circuit {
  /** Volt over the guide's ground; a node that hangs on nothing is at 0. */
  nodeVolt(node: string): number;
  /** Ohm between two pads, rails counted by their resistance; `openOhm` when nothing joins them. */
  resistanceOhm(padA: string, padB: string): number;
  /** What two tips see: V(A) - V(B) with nothing between them, behind this resistance. */
  thevenin(padA: string, padB: string): { openVolt: number; sourceOhm: number };
  /**
   * Whether the device answers to this input now: it is on, and the input's node is below its
   * threshold.
   */
  responds(inputId: string): boolean;
  /**
   * How much of the resistance between two pads each link makes up, 0..1: the power in the link
   * over the power in all, for a current from A to B. It is d ln R / d ln r of the link as well
   * (Cohn's theorem), so it weighs the links' spreads.
   */
  shares(padA: string, padB: string): { link: string; share: number }[];
}

/**
 * Returns the circuit of a guide in a state, factored once; each question after that is one
 * substitution.
 *
 * Nodes are measured against the guide's ground, or against a reference that only the leaks reach.
 * Pads that no chain of links joins read `openOhm`, decided by connectivity and not by the leaks.
 */
export function solveCircuit(guide: Guide, state: CircuitState): Circuit {
  const { reference: count, node, linkFrom, linkTo, linkOhms, elements, injected } = assembleCircuit(guide, state);
  const at = (name: string): number => {
    if (nodeOf(guide, name) === null) throw new RangeError(`guide '${guide.id}' has no pad or node '${name}'`);
    return node(name);
  };
  const network = new FactoredNetwork(count, elements, leakSiemens / Math.max(1, count));
  const island = islands(count + 1, elements);
  let standing: Float64Array | null = null;
  const voltOf = (number: number): number => {
    standing ??= network.voltages(injected);
    return number < count ? standing[number]! : 0;
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
      const volt = (at: number): number => (at < count ? voltages[at]! : 0);
      return guide.links.map((link, k) => {
        if (linkOhms[k]! >= openOhm) return { link: link.id, share: 0 };
        const across = volt(linkFrom[k]!) - volt(linkTo[k]!);
        return { link: link.id, share: (across * across) / Math.max(leastOhm, linkOhms[k]!) / ohm };
      });
    },
  };
}

/**
 * Returns, for each node, a number that it has in common with exactly the nodes that elements join
 * it to.
 */
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
