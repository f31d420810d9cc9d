import type { Guide, Link, Rail } from '../../src/guide/types.ts';

/** Returns a guide that is nothing but a circuit: its nodes are its pads. */
export function circuitGuide(
  nodes: string[],
  links: (Partial<Link> & Pick<Link, 'id' | 'from' | 'to' | 'ohm'>)[],
  more: {
    ground?: string;
    rails?: Rail[];
    keys?: Guide['keys'];
    inputs?: Guide['inputs'];
    checks?: Guide['checks'];
  } = {},
): Guide {
  return {
    id: 'network',
    title: 'network',
    device: { maker: 'nobody', name: 'network', kind: 'network' },
    currency: null,
    revisions: { holds: ['1'], not: [] },
    cautions: [],
    access: [],
    powerMinutes: 0,
    units: [{ id: 'whole', name: 'whole', lithium: false }],
    nodes,
    ground: more.ground ?? null,
    pictures: [],
    pads: nodes.map((node) => ({ id: node, node, where: node })),
    links: links.map((link) => ({
      kind: 'trace',
      spread: 0,
      normally: 'open',
      unit: 'whole',
      weights: {},
      near: [],
      ...link,
    })),
    rails: more.rails ?? [],
    inputs: more.inputs ?? [],
    keys: more.keys ?? [],
    checks: more.checks ?? [],
    repairs: [],
    rule: { name: 'guarded', p: 0.975 },
    confidence: 0.95,
    eyes: { miss: 0.02, falseAlarm: 0.02 },
    usual: null,
    wrongPad: 0.01,
    healthy: 0.05,
  };
}

/** Returns a network of equal resistors on the given edges, node names being their numbers. */
export function equalResistors(nodes: number, edges: readonly (readonly [number, number])[], ohm: number): Guide {
  return circuitGuide(
    Array.from({ length: nodes }, (_, k) => `n${k}`),
    edges.map(([a, b], k) => ({ id: `e${k}`, from: `n${a}`, to: `n${b}`, ohm })),
  );
}
