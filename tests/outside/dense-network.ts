/** A resistance between two nodes, by name. */
export interface Branch {
  a: string;
  b: string;
  ohm: number;
}

/** A voltage over the ground behind a resistance. */
export interface Source {
  node: string;
  volt: number;
  ohm: number;
}

/** What two points of a network show: the voltage between them, a over b, and the resistance behind it; Infinity: nothing joins them. */
export interface Port {
  volt: number;
  ohm: number;
}

/**
 * Returns what two points of a network show, by nodal analysis the plain way: the conductance matrix written out in full, Gaussian elimination
 * with pivoting, one node of each island held at 0 V. Any textbook of circuits has it; nothing of the program is used.
 *
 * @param ground the node that sources count from; null: there is none, and no source
 * @param b null: the ground
 */
export function portOf(
  branches: readonly Branch[],
  sources: readonly Source[],
  ground: string | null,
  a: string,
  b: string | null,
): Port {
  const earth = ground ?? '';
  const all = [...branches, ...sources.map(({ node, ohm }) => ({ a: node, b: earth, ohm }))].filter(
    (one) => one.a !== one.b && Number.isFinite(one.ohm),
  );
  const [first, second] = [a, b ?? earth];
  const island = islandsOf(all, [first, second, earth]);
  const held = heldNodes(island, earth);
  const free = [...island.keys()].filter((node) => !held.has(node));
  const index = new Map(free.map((node, k) => [node, k]));
  const matrix = free.map(() => new Float64Array(free.length + 2));
  for (const branch of all) {
    const [i, j] = [index.get(branch.a), index.get(branch.b)];
    const siemens = 1 / branch.ohm;
    if (i !== undefined) matrix[i]![i]! += siemens;
    if (j !== undefined) matrix[j]![j]! += siemens;
    if (i !== undefined && j !== undefined) {
      matrix[i]![j]! -= siemens;
      matrix[j]![i]! -= siemens;
    }
  }
  const [injected, tested] = [free.length, free.length + 1];
  for (const { node, volt, ohm } of sources) {
    const i = index.get(node);
    if (i !== undefined) matrix[i]![injected]! += volt / ohm;
  }
  const isJoined = island.get(first) === island.get(second);
  const [i, j] = [index.get(first), index.get(second)];
  if (isJoined && i !== undefined) matrix[i]![tested]! += 1;
  if (isJoined && j !== undefined) matrix[j]![tested]! -= 1;
  eliminate(matrix, free.length);
  const at = (k: number | undefined, column: number): number => (k === undefined ? 0 : matrix[k]![column]!);
  return {
    volt: at(i, injected) - at(j, injected),
    ohm: isJoined ? at(i, tested) - at(j, tested) : Number.POSITIVE_INFINITY,
  };
}

/** Returns for each node a number that it shares with what branches join it to. */
function islandsOf(branches: readonly Branch[], more: readonly string[]): Map<string, number> {
  const parent = new Map<string, string>();
  const root = (node: string): string => {
    let at = node;
    while (parent.get(at) !== undefined && parent.get(at) !== at) at = parent.get(at)!;
    parent.set(node, at);
    return at;
  };
  for (const node of more) root(node);
  for (const { a, b } of branches) parent.set(root(a), root(b));
  const numbers = new Map<string, number>();
  return new Map(
    [...parent.keys()].map((node) => {
      const top = root(node);
      if (!numbers.has(top)) numbers.set(top, numbers.size);
      return [node, numbers.get(top)!];
    }),
  );
}

/** One node of each island: the ground of its own. */
function heldNodes(island: ReadonlyMap<string, number>, earth: string): Set<string> {
  const held = new Map<number, string>();
  const own = island.get(earth);
  if (own !== undefined) held.set(own, earth);
  for (const [node, number] of island) if (!held.has(number)) held.set(number, node);
  return new Set(held.values());
}

/** Gauss and Jordan with row pivoting, in place: the columns behind the first `size` become the solutions. */
function eliminate(matrix: Float64Array[], size: number): void {
  for (let k = 0; k < size; k++) {
    let best = k;
    for (let row = k + 1; row < size; row++) {
      if (Math.abs(matrix[row]![k]!) > Math.abs(matrix[best]![k]!)) best = row;
    }
    [matrix[k], matrix[best]] = [matrix[best]!, matrix[k]!];
    const pivot = matrix[k]!;
    const scale = 1 / pivot[k]!;
    for (let column = k; column < pivot.length; column++) pivot[column]! *= scale;
    for (let row = 0; row < size; row++) {
      const other = matrix[row]!;
      const factor = other[k]!;
      if (row === k || factor === 0) continue;
      for (let column = k; column < other.length; column++) other[column]! -= factor * pivot[column]!;
    }
  }
}
