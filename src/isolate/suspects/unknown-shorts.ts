import type { Guide, Link } from '../../guide/types.ts';
import type { IsolationRules } from '../rules/isolation-rules.ts';

/**
 * Returns the pairs of nodes whose short stands for those that a guide doesn't hold: between any
 * two nets of one unit, each net named by one of its nodes in that unit, a pad's where it has one.
 *
 * Pairs of nodes are quadratic. They are kept few so: nodes that a few ohms join are one net, for a
 * short to either shows alike; a unit gives its nets with the most links only; what the guide holds
 * is left out; and of a large guide every k-th pair is taken.
 */
export function shortsBetweenNets(guide: Guide, rules: IsolationRules['unknown']): [string, string][] {
  const netOf = nets(guide, rules.netOhm);
  const isPad = new Set(guide.pads.map(({ node }) => node));
  const held = new Set(
    guide.links.flatMap((link) => link.near.map((node) => pairKey(netOf.get(link.from)!, netOf.get(node)!))),
  );
  const pairs = new Map<string, [string, string]>();
  for (const unit of guide.units) {
    const byNet = new Map<string, { node: string; links: number }>();
    for (const link of guide.links) {
      if (!touches(link, unit.id)) continue;
      for (const node of [link.from, link.to]) {
        const net = netOf.get(node)!;
        const known = byNet.get(net);
        if (known === undefined) byNet.set(net, { node, links: 1 });
        else {
          known.links++;
          if (isPad.has(node) && !isPad.has(known.node)) known.node = node;
        }
      }
    }
    const busiest = [...byNet].sort(([, a], [, b]) => b.links - a.links).slice(0, rules.mostNets);
    busiest.forEach(([one, { node: a }], k) => {
      for (const [other, { node: b }] of busiest.slice(k + 1)) {
        const key = pairKey(one, other);
        if (!held.has(key) && !pairs.has(key)) pairs.set(key, [a, b]);
      }
    });
  }
  const all = [...pairs.values()];
  const step = Math.max(1, Math.ceil(all.length / rules.mostShorts));
  return all.filter((_, k) => k % step === 0);
}

function touches({ unit, between }: Link, id: string): boolean {
  return unit === id || between?.includes(id) === true;
}

function pairKey(a: string, b: string): string {
  return a < b ? `${a}\n${b}` : `${b}\n${a}`;
}

/**
 * For each node the name of its net: what links of less than so many ohms join while nobody
 * presses.
 */
function nets(guide: Guide, netOhm: number): Map<string, string> {
  const up = new Map(guide.nodes.map((node) => [node, node]));
  const find = (node: string): string => {
    let at = node;
    while (up.get(at) !== at) at = up.get(at)!;
    up.set(node, at);
    return at;
  };
  for (const { kind, normally, ohm, from, to } of guide.links) {
    if (ohm < netOhm && (kind !== 'switch' || normally === 'closed')) up.set(find(from), find(to));
  }
  return new Map(guide.nodes.map((node) => [node, find(node)]));
}
