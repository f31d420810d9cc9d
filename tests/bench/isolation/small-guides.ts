import type { Random } from '../../../sim/random.ts';
import type { Guide } from '../../../src/guide/types.ts';
import { smallGuide } from '../../support/isolate/small-guide.ts';

/**
 * Returns a small guide on which the least minutes can be worked out: a chain in units, every second one made harder for whoever looks only one
 * check ahead: several states of disassembly that lie within one another or not, very unlike minutes and weights, a branch, links that share units.
 */
export function smallGuideOf(random: Random): Guide {
  const guide = smallGuide(random);
  if (random.uniform() < 0.5) return guide;
  const access = ['one', 'two'].map((id) => ({ id, name: id, minutes: random.integer(1, 12), parts: [] as string[] }));
  const last = guide.links.at(-1)!;
  // what hangs off the chain is taken off in one of the states
  if (random.uniform() < 0.5) access[1]!.parts.push(last.id);
  const shared = random.integer(2, 4);
  const branch = random.integer(0, guide.links.length - 2);
  const nodes = guide.nodes;
  return {
    ...guide,
    access,
    units: guide.units.slice(0, shared),
    links: guide.links.map((link, k) => ({
      ...link,
      ...(k === guide.links.length - 1 ? { from: nodes[branch]! } : {}),
      unit: guide.units[random.uniform() < 0.5 ? k % shared : random.integer(0, shared - 1)]!.id,
      weights: { open: 10 ** (2 * random.uniform() - 1), high: 10 ** (2 * random.uniform() - 1), intermittent: 0 },
    })),
    checks: guide.checks.map((check) => {
      const { access: _, ...bare } = check;
      const state = [undefined, 'one', 'two'][random.integer(0, 2)];
      return { ...bare, minutes: 0.5 * 2 ** (5 * random.uniform()), ...(state === undefined ? {} : { access: state }) };
    }),
  };
}
