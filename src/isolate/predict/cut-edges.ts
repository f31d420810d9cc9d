/** An edge of a graph: two node numbers. */
export interface Edge {
  from: number;
  to: number;
}

/** Which edges are the only way across, and what they part. */
export interface CutEdges {
  /** For each node, a number that it shares with exactly the nodes that edges join it to. */
  island: Int32Array;
  /** Nodes of each island, by that number. */
  islandSize: Int32Array;
  /** Returns null for an edge that is not the only way across, else its far side. */
  far(edge: number): { has(node: number): boolean; size: number } | null;
}

/**
 * Returns the cut edges (bridges) of a graph, multiple edges allowed: depth first with low points
 * (Tarjan, Information Processing Letters 2 (1974) 160-161), without recursion.
 */
export function cutEdges(nodes: number, edges: readonly Edge[]): CutEdges {
  const degree = new Int32Array(nodes + 1);
  for (const { from, to } of edges) {
    degree[from]! += 1;
    degree[to]! += 1;
  }
  const start = new Int32Array(nodes + 1);
  for (let k = 0; k < nodes; k++) start[k + 1] = start[k]! + degree[k]!;
  const at = start.slice();
  const incident = new Int32Array(2 * edges.length);
  edges.forEach(({ from, to }, edge) => {
    incident[at[from]!++] = edge;
    incident[at[to]!++] = edge;
  });

  const island = new Int32Array(nodes).fill(-1);
  const islandSize: number[] = [];
  const entered = new Int32Array(nodes).fill(-1);
  const left = new Int32Array(nodes);
  const low = new Int32Array(nodes);
  const by = new Int32Array(nodes).fill(-1);
  const next = start.slice(0, nodes);
  const child = new Int32Array(edges.length).fill(-1);
  let clock = 0;
  for (let root = 0; root < nodes; root++) {
    if (entered[root] !== -1) continue;
    const before = clock;
    const number = islandSize.length;
    const stack = [root];
    entered[root] = low[root] = clock++;
    while (stack.length > 0) {
      const node = stack[stack.length - 1]!;
      island[node] = number;
      if (next[node]! < start[node + 1]!) {
        const edge = incident[next[node]!++]!;
        if (edge === by[node]) continue;
        const { from, to } = edges[edge]!;
        const other = from === node ? to : from;
        if (entered[other] === -1) {
          entered[other] = low[other] = clock++;
          by[other] = edge;
          stack.push(other);
        } else low[node] = Math.min(low[node]!, entered[other]!);
        continue;
      }
      left[node] = clock;
      stack.pop();
      const parent = stack[stack.length - 1];
      if (parent === undefined) continue;
      low[parent] = Math.min(low[parent]!, low[node]!);
      if (low[node]! > entered[parent]!) child[by[node]!] = node;
    }
    islandSize.push(clock - before);
  }
  return {
    island,
    islandSize: Int32Array.from(islandSize),
    far(edge) {
      const top = child[edge]!;
      if (top === -1) return null;
      const [first, end] = [entered[top]!, left[top]!];
      return { has: (node) => entered[node]! >= first && entered[node]! < end, size: end - first };
    },
  };
}
