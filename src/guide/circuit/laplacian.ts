/** A conductance between two nodes, or from a node to the reference (index `nodes`). */
export interface Conductance {
  from: number;
  to: number;
  siemens: number;
}

/**
 * A factored network of conductances: node voltages for injected currents, in one elimination.
 *
 * The elimination is the star-mesh transform, node by node, and adds positive numbers only: each
 * pivot is the *sum* of the conductances that are left at the node, the reference's among them, in
 * place of the difference that Cholesky takes. So 0.1 mohm beside a leak of 1 nS costs no digits
 * (Grassmann, Taksar and Heyman, Operations Research 33 (1985) 1107-1116; entrywise accuracy:
 * O'Cinneide, Numerische Mathematik 65 (1993) 109-120).
 *
 * Nodes with the fewest neighbours go first (minimum degree: Tinney and Walker, Proceedings of the
 * IEEE 55 (1967) 1801-1809), so that a circuit as devices have it, long and thin, costs about as
 * much as it has elements.
 */
export class FactoredNetwork {
  readonly nodes: number;
  /** Nodes in the order of elimination. */
  readonly #order: Int32Array;
  /** Where the neighbours of each eliminated node begin, in that order; one more at the end. */
  readonly #start: Int32Array;
  readonly #neighbour: Int32Array;
  readonly #siemens: Float64Array;
  readonly #pivot: Float64Array;

  /**
   * Factors the network.
   *
   * @param nodes number of nodes without the reference
   * @param leakSiemens from every node to the reference; more than 0, so that no node floats
   */
  constructor(nodes: number, elements: readonly Conductance[], leakSiemens: number) {
    const toReference = new Float64Array(nodes).fill(leakSiemens);
    const mesh = Array.from({ length: nodes }, () => new Map<number, number>());
    for (const { from, to, siemens } of elements) {
      if (from === to) continue;
      if (from === nodes) toReference[to]! += siemens;
      else if (to === nodes) toReference[from]! += siemens;
      else add(mesh, from, to, siemens);
    }
    const order = new Int32Array(nodes);
    const start = new Int32Array(nodes + 1);
    const pivot = new Float64Array(nodes);
    const neighbours: number[] = [];
    const conductances: number[] = [];
    const queue = new DegreeQueue(mesh);
    for (let k = 0; k < nodes; k++) {
      const node = queue.take();
      const around = [...mesh[node]!];
      const sum = around.reduce((total, [, siemens]) => total + siemens, toReference[node]!);
      order[k] = node;
      pivot[k] = sum;
      for (const [i, siemens] of around) {
        neighbours.push(i);
        conductances.push(siemens);
        mesh[i]!.delete(node);
        toReference[i]! += (siemens * toReference[node]!) / sum;
      }
      for (let a = 0; a < around.length; a++) {
        const [i, share] = around[a]!;
        for (let b = a + 1; b < around.length; b++) add(mesh, i, around[b]![0], (share * around[b]![1]) / sum);
      }
      for (const [i] of around) queue.put(i);
      start[k + 1] = neighbours.length;
    }
    this.nodes = nodes;
    this.#order = order;
    this.#start = start;
    this.#neighbour = Int32Array.from(neighbours);
    this.#siemens = Float64Array.from(conductances);
    this.#pivot = pivot;
  }

  /**
   * Returns the node voltages, in volt over the reference, for the currents injected at the nodes,
   * in ampere.
   */
  voltages(injectedAmpere: Float64Array): Float64Array {
    const [order, start, neighbour, siemens, pivot] = [
      this.#order,
      this.#start,
      this.#neighbour,
      this.#siemens,
      this.#pivot,
    ];
    const result = Float64Array.from(injectedAmpere);
    for (let k = 0; k < order.length; k++) {
      const share = result[order[k]!]! / pivot[k]!;
      if (share === 0) continue;
      for (let at = start[k]!; at < start[k + 1]!; at++) result[neighbour[at]!]! += siemens[at]! * share;
    }
    for (let k = order.length - 1; k >= 0; k--) {
      let sum = result[order[k]!]!;
      for (let at = start[k]!; at < start[k + 1]!; at++) sum += siemens[at]! * result[neighbour[at]!]!;
      result[order[k]!] = sum / pivot[k]!;
    }
    return result;
  }

  /**
   * Returns the resistance between two nodes, in ohm; `nodes` stands for the reference. Half of what voltages cost, and no digits are lost:
   * it is a sum of squares over pivots.
   */
  ohmBetween(a: number, b: number): number {
    const [order, start, neighbour, siemens, pivot] = [
      this.#order,
      this.#start,
      this.#neighbour,
      this.#siemens,
      this.#pivot,
    ];
    if (a === b) return 0;
    const left = new Float64Array(this.nodes + 1);
    left[a] = 1;
    left[b] = -1;
    let ohm = 0;
    for (let k = 0; k < order.length; k++) {
      const ampere = left[order[k]!]!;
      if (ampere === 0) continue;
      const share = ampere / pivot[k]!;
      ohm += ampere * share;
      for (let at = start[k]!; at < start[k + 1]!; at++) left[neighbour[at]!]! += siemens[at]! * share;
    }
    return ohm;
  }
}

function add(mesh: readonly Map<number, number>[], a: number, b: number, siemens: number): void {
  mesh[a]!.set(b, (mesh[a]!.get(b) ?? 0) + siemens);
  mesh[b]!.set(a, (mesh[b]!.get(a) ?? 0) + siemens);
}

/**
 * Nodes by their number of neighbours, fewest first; a node whose number has changed is put in
 * again, and old places are passed over.
 */
class DegreeQueue {
  readonly #mesh: readonly Map<number, number>[];
  readonly #buckets: number[][] = [];
  readonly #taken: Uint8Array;
  #least = 0;

  constructor(mesh: readonly Map<number, number>[]) {
    this.#mesh = mesh;
    this.#taken = new Uint8Array(mesh.length);
    for (let node = mesh.length - 1; node >= 0; node--) this.put(node);
  }

  put(node: number): void {
    const degree = this.#mesh[node]!.size;
    this.#buckets[degree] ??= [];
    this.#buckets[degree]!.push(node);
    this.#least = Math.min(this.#least, degree);
  }

  /** Returns the node with the fewest neighbours; there must be one. */
  take(): number {
    for (;;) {
      const node = this.#buckets[this.#least]?.pop();
      if (node === undefined) this.#least++;
      else if (this.#taken[node] === 0 && this.#mesh[node]!.size === this.#least) {
        this.#taken[node] = 1;
        return node;
      }
    }
  }
}
