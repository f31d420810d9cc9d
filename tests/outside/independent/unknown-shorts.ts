import type { Guide } from '../../../src/guide/types.ts';
import type { Stated } from './stated-model.ts';

interface Net {
  /** What names it: a pad's node where it has one, else its first. */
  name: string;
  ends: number;
}

/** Returns the pairs of nodes whose short stands for all that a guide does not hold. */
export function unknownShorts(guide: Guide, stated: Stated): [string, string][] {
  const net = netsOf(guide, stated.number('unknown.netOhm'));
  const isPad = (node: string): boolean => guide.pads.some((pad) => pad.node === node);
  const key = (a: number, b: number): string => [a, b].sort((x, y) => x - y).join(' ');
  const taken = new Set(
    guide.links.flatMap(({ from, near }) => near.map((node) => key(net.get(from)!, net.get(node)!))),
  );
  const found: [string, string][] = [];
  for (const unit of guide.units) {
    const own = guide.links.filter((link) => link.unit === unit.id || link.between?.includes(unit.id));
    const ends = own.flatMap(({ from, to }) => [from, to]);
    const nets = [...new Set(ends.map((node) => net.get(node)!))].map((number): Net & { number: number } => {
      const nodes = ends.filter((node) => net.get(node) === number);
      return { number, name: nodes.find(isPad) ?? nodes[0]!, ends: nodes.length };
    });
    const most = nets.sort((a, b) => b.ends - a.ends).slice(0, stated.number('unknown.mostNets'));
    for (let i = 0; i < most.length; i++)
      for (let j = i + 1; j < most.length; j++) {
        const [one, other] = [most[i]!, most[j]!];
        if (taken.has(key(one.number, other.number))) continue;
        taken.add(key(one.number, other.number));
        found.push([one.name, other.name]);
      }
  }
  const step = Math.max(1, Math.ceil(found.length / stated.number('unknown.mostShorts')));
  return found.filter((_, k) => k % step === 0);
}

/** For each node the number of its net, by spreading from node to node. */
function netsOf(guide: Guide, netOhm: number): Map<string, number> {
  const joins = guide.links.filter(
    (link) => link.ohm < netOhm && (link.kind !== 'switch' || link.normally === 'closed'),
  );
  const net = new Map<string, number>();
  for (const start of guide.nodes) {
    if (net.has(start)) continue;
    const [number, open] = [net.size, [start]];
    while (open.length > 0) {
      const node = open.pop()!;
      if (net.has(node)) continue;
      net.set(node, number);
      for (const { from, to } of joins) {
        if (from === node) open.push(to);
        if (to === node) open.push(from);
      }
    }
  }
  return net;
}
