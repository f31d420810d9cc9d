import { type Change, type CircuitVariant, type Side, transferOhm } from './circuit-variant.ts';

/** A change with the link that it belongs to. */
export interface LinkChange {
  change: Change;
  link: number;
}

/**
 * What a circuit shows with changes made to it: of some ports (pairs of nodes) and some nodes.
 *
 * Ports are the pair asked about, first, and the changed elements; nodes are those of the ports.
 */
interface View {
  ports: readonly (readonly [number, number])[];
  nodes: readonly number[];
  /**
   * Square, row by row: volt at port i for an ampere through port j. The diagonal is the resistance
   * of a port.
   */
  ohm: Float64Array;
  /** Volt of node i over the reference for an ampere through port j, row by row. */
  transfer: Float64Array;
  /** Volt of each node over the reference. */
  volt: Float64Array;
}

/**
 * Returns what a pair of nodes shows with some changes made, at most a few, from the healthy
 * factorisation alone: the resistance between them and their voltage.
 *
 * Each change is one rank-one update of the little matrices over the pair and the changed elements
 * (Sherman and Morrison, Annals of Mathematical Statistics 21 (1950) 124-127): G' = G - d g g^T /
 * (1 + d G_kk), V' = V - d t V_k / (1 + d G_kk). Where an opened link is the only way across,
 * connectivity knows all of it: which side stands at 0 V, what current goes through the link, and 1
 * + d G_kk from the leaks of the parted sides, which a difference of nearly equal numbers would
 * not.
 */
export function faultedPort(
  variant: CircuitVariant,
  pair: readonly [number, number],
  changes: readonly LinkChange[],
): { ohm: number; volt: number } {
  const view = healthyView(variant, pair, changes);
  changes.forEach(({ change }, c) => {
    const parted = partedBy(variant, changes, c);
    const left = parted === null ? null : putParted(variant, view, c + 1, change, parted);
    applyChange(view, c + 1, change.siemens, left);
  });
  const [a, b] = pair.map((node) => view.nodes.indexOf(node)) as [number, number];
  return { ohm: view.ohm[0]!, volt: view.volt[a]! - view.volt[b]! };
}

function healthyView(variant: CircuitVariant, pair: readonly [number, number], changes: readonly LinkChange[]): View {
  const ports = [pair, ...changes.map(({ change }) => [change.a, change.b] as const)];
  const nodes: number[] = [];
  for (const [a, b] of ports) {
    if (!nodes.includes(a)) nodes.push(a);
    if (!nodes.includes(b)) nodes.push(b);
  }
  const size = ports.length;
  const ohm = new Float64Array(size * size);
  const transfer = new Float64Array(nodes.length * size);
  const { ground } = variant;
  for (let j = 0; j < size; j++) {
    const port = variant.port(ports[j]![0], ports[j]![1]);
    for (let i = 0; i < nodes.length; i++) transfer[i * size + j] = transferOhm(port, nodes[i]!, ground, ground);
    for (let i = 0; i < size; i++) ohm[i * size + j] = transferOhm(port, ports[i]![0], ports[i]![1], ground);
  }
  return { ports, nodes, ohm, transfer, volt: Float64Array.from(nodes, (node) => variant.volt(node)) };
}

/**
 * Changes the conductance across port k, in place; `left`: 1 + d G_kk where it is known better than
 * by the difference.
 */
function applyChange(
  { ohm, transfer, volt, nodes, ports }: View,
  k: number,
  siemens: number,
  left: number | null,
): void {
  const size = ports.length;
  const factor = siemens / (left ?? 1 + siemens * ohm[k * size + k]!);
  const row = ohm.slice(k * size, (k + 1) * size);
  const [a, b] = ports[k]!.map((node) => nodes.indexOf(node)) as [number, number];
  // a parted side has no current through the link, whatever rounding says
  const drop = left === null ? volt[a]! - volt[b]! : 0;
  for (let i = 0; i < nodes.length; i++) {
    const share = factor * transfer[i * size + k]!;
    volt[i]! -= share * drop;
    for (let j = 0; j < size; j++) transfer[i * size + j]! -= share * row[j]!;
  }
  for (let i = 0; i < size; i++) {
    const share = factor * row[i]!;
    for (let j = 0; j < size; j++) ohm[i * size + j]! -= share * row[j]!;
  }
}

/** The sides that an opening parts, given the changes before it; null when it parts nothing. */
function partedBy(
  variant: CircuitVariant,
  changes: readonly LinkChange[],
  c: number,
): { near: Side; far: Side } | null {
  const { change } = changes[c]!;
  const until = changes.slice(0, c + 1).map((one) => one.change);
  return change.opens === -1 || !variant.mayPart(until) ? null : variant.sidesAfter(change, until);
}

/**
 * Puts what connectivity knows of an opening into the view; returns what the leaks leave of 1 + d
 * G_kk.
 */
function putParted(
  { ground, leakSiemens }: CircuitVariant,
  { ports, nodes, ohm, transfer, volt }: View,
  k: number,
  change: Change,
  { near, far }: { near: Side; far: Side },
): number {
  const size = ports.length;
  const linkOhm = -1 / change.siemens;
  const here = (node: number): boolean => near.has(node) || far.has(node);
  ports.forEach(([a, b], i) => {
    if (!here(a) || !here(b)) return;
    const through = linkOhm * (Number(near.has(a)) - Number(near.has(b)));
    ohm[i * size + k] = through;
    ohm[k * size + i] = through;
  });
  const floating = near.has(ground) ? far : far.has(ground) ? near : null;
  if (floating === null) {
    const leak = (leakSiemens * near.size * far.size) / (near.size + far.size);
    return leak / (leak - change.siemens);
  }
  nodes.forEach((node, i) => {
    if (!here(node)) return;
    transfer[i * size + k] = 0;
    if (!floating.has(node)) return;
    transfer[i * size + k] = floating === near ? linkOhm : -linkOhm;
    volt[i] = 0;
    ports.forEach(([a, b], j) => {
      if (!floating.has(a) && !floating.has(b)) transfer[i * size + j] = 0;
    });
  });
  const leak = leakSiemens * floating.size;
  return leak / (leak - change.siemens);
}
