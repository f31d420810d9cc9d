import type { LinkKind } from '../../src/guide/circuit/link-kinds.ts';
import type { Guide, Link } from '../../src/guide/types.ts';
import { circuitGuide } from './solver-network.ts';

/** Returns evenly spread numbers 0..1 from a seed (mulberry32, in the public domain). */
export function randomFrom(seed: number): () => number {
  let state = seed >>> 0;
  return () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let mixed = Math.imul(state ^ (state >>> 15), 1 | state);
    mixed = (mixed + Math.imul(mixed ^ (mixed >>> 7), 61 | mixed)) ^ mixed;
    return ((mixed ^ (mixed >>> 14)) >>> 0) / 4_294_967_296;
  };
}

const kinds: LinkKind[] = ['trace', 'spring', 'connector', 'joint', 'switch', 'resistor'];

/**
 * Returns a network that no one drew: a tree with some links beside it, so that there are both links without a way round and loops; sometimes
 * cut in two; rails, keys, links of 1 mohm to 1 kohm.
 */
export function randomGuide(seed: number): Guide {
  const random = randomFrom(seed);
  const below = (count: number): number => Math.floor(random() * count);
  const nodes = Array.from({ length: 4 + below(14) }, (_, k) => `n${k}`);
  const isCut = random() < 0.2;
  const links: (Partial<Link> & Pick<Link, 'id' | 'from' | 'to' | 'ohm'>)[] = [];
  const add = (from: number, to: number): void => {
    const kind = kinds[below(kinds.length)]!;
    links.push({
      id: `l${links.length}`,
      from: nodes[from]!,
      to: nodes[to]!,
      kind,
      ohm: 10 ** (-3 + 6 * random()),
      spread: 0.2 * random(),
      normally: random() < 0.3 ? 'closed' : 'open',
      near: random() < 0.3 ? [nodes[below(nodes.length)]!] : [],
    });
  };
  for (let k = 1; k < nodes.length; k++) if (!isCut || k !== Math.floor(nodes.length / 2)) add(below(k), k);
  for (let k = below(nodes.length); k > 0; k--) {
    const [a, b] = [below(nodes.length), below(nodes.length)];
    if (a !== b) add(a, b);
  }
  const switches = links.filter(({ kind }) => kind === 'switch');
  return circuitGuide(nodes, links, {
    ...(random() < 0.8 ? { ground: nodes[below(nodes.length)]! } : {}),
    rails: Array.from({ length: 1 + below(2) }, (_, k) => ({
      id: `r${k}`,
      node: nodes[below(nodes.length)]!,
      volt: 1 + 4 * random(),
      ohm: 10 ** (-1 + 3 * random()),
    })),
    keys: switches.map(({ id }, k) => ({ id: `k${k}`, name: 'key', link: id, with: [] })),
  });
}
