import type { Random } from '../../../sim/random.ts';
import { parseGuide } from '../../../src/checks/guides.ts';
import { starterGuide } from '../../../src/cli/guides/starters/starter-guide.ts';
import type { Check, Guide, Link } from '../../../src/guide/types.ts';

/** A made-up guide: a chain of a few links in as many units, and resistance checks over random stretches of it at random prices. */
export function smallGuide(random: Random): Guide {
  const base = parseGuide(starterGuide, 'starter');
  if (!base.ok) throw new Error('the starter guide is not good');
  const count = random.integer(4, 6);
  const nodes = Array.from({ length: count + 1 }, (_, k) => `N${k}`);
  const links = Array.from(
    { length: count },
    (_, k): Link => ({
      id: `link-${k}`,
      from: nodes[k]!,
      to: nodes[k + 1]!,
      kind: random.uniform() < 0.5 ? 'trace' : 'joint',
      ohm: 0.05 + 0.3 * random.uniform(),
      spread: 0.1,
      normally: 'closed',
      unit: `unit-${k}`,
      weights: { open: 1 + 5 * random.uniform(), high: 1, intermittent: 0 },
      near: [],
    }),
  );
  const checks = Array.from({ length: random.integer(4, 5) }, (_, k): Check => {
    const from = random.integer(0, count - 1);
    const to = random.integer(from + 1, count);
    const ohm = links.slice(from, to).reduce((sum, link) => sum + link.ohm, 0);
    return {
      id: `check-${k}`,
      kind: 'resistance',
      title: `From ${from} to ${to}`,
      power: 'off',
      ...(random.uniform() < 0.5 ? { access: 'apart' } : {}),
      minutes: random.integer(1, 8),
      prompt: 'Touch both.',
      pads: [`P${from}`, `P${to}`],
      limits: { quantity: 'resistance', max: 1.5 * ohm + 0.2 },
      level: 'normal',
      pressed: [],
    };
  });
  return {
    ...base.guide,
    access: [{ id: 'apart', name: 'taken apart', minutes: 4, parts: [] }],
    units: links.map(({ unit }) => ({ id: unit!, name: unit!, lithium: false })),
    ground: null,
    nodes,
    pads: nodes.map((node, k) => ({ id: `P${k}`, node, where: node })),
    links,
    rails: [],
    inputs: [],
    keys: [],
    checks,
    repairs: [],
    usual: null,
  };
}
