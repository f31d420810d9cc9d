import { randomOf } from '../../../sim/random.ts';
import type { LinkKind } from '../../../src/guide/circuit/link-kinds.ts';
import type { Check, Guide, Link } from '../../../src/guide/types.ts';
import { circuitGuide } from '../../outside/solver-network.ts';

const kinds: LinkKind[] = ['trace', 'spring', 'connector', 'joint', 'trace'];
const unitCount = 20;

/**
 * Returns a made-up guide of so many links, with half as many checks: long lines over twenty units with a way round at every tenth link, fed
 * at one end; three checks in four measure ohms over a stretch of it, the fourth measures volts.
 */
export function largeGuide(linkCount: number): Guide {
  const random = randomOf(linkCount, 'large-guide');
  const nodes = Array.from({ length: linkCount }, (_, k) => `N${k}`);
  const units = Math.min(unitCount, linkCount);
  const links = Array.from({ length: linkCount }, (_, k): Partial<Link> & Pick<Link, 'id' | 'from' | 'to' | 'ohm'> => {
    const last = k === linkCount - 1;
    return {
      id: `link-${k}`,
      from: nodes[last ? 0 : k % 10 === 9 ? k - 7 : k]!,
      to: nodes[k === 0 || !last ? k + 1 : k]!,
      ohm: 0.05 + random.uniform(),
      kind: kinds[k % kinds.length]!,
      spread: 0.1,
      unit: `unit-${Math.floor((k * units) / linkCount)}`,
    };
  });
  const checks = Array.from({ length: Math.max(1, Math.floor(linkCount / 2)) }, (_, k): Check => {
    const from = random.integer(0, linkCount - 2);
    const to = Math.min(linkCount - 1, from + random.integer(1, Math.max(1, Math.floor(linkCount / 3))));
    const common = { id: `check-${k}`, title: `Check ${k}`, minutes: 1, prompt: 'Touch both.', pressed: [] };
    if (k % 4 === 0) {
      const limits = { quantity: 'voltage', min: 0.1 } as const;
      return { ...common, kind: 'voltage', power: 'on', pads: [nodes[from]!, nodes[0]!], limits };
    }
    const limits = { quantity: 'resistance', max: 1.2 * (to - from) } as const;
    return { ...common, kind: 'resistance', power: 'off', pads: [nodes[from]!, nodes[to]!], limits, level: 'normal' };
  });
  const guide = circuitGuide(nodes, links, {
    ground: nodes[0]!,
    rails: [{ id: 'rail', node: nodes.at(-1)!, volt: 3.3, ohm: 1 }],
    checks,
  });
  guide.units = Array.from({ length: units }, (_, k) => ({ id: `unit-${k}`, name: `unit ${k}`, lithium: false }));
  return guide;
}
