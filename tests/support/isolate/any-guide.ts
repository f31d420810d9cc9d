import * as fc from 'fast-check';
import { type LinkKind, linkKindNames, linkKinds } from '../../../src/guide/circuit/link-kinds.ts';
import type { Check, FaultMode, Guide, Limits, Link } from '../../../src/guide/types.ts';
import { circuitGuide } from '../../outside/solver-network.ts';

/** Ohms even in the logarithm between two powers of ten. */
export const anyOhm = (low: number, high: number): fc.Arbitrary<number> =>
  evenly(low, high).map((power) => 10 ** power);

/** A number between two, no one likelier than another. */
export function evenly(min: number, max: number): fc.Arbitrary<number> {
  return fc.noBias(fc.nat({ max: 1000 })).map((k) => min + ((max - min) * k) / 1000);
}

/** Some guide: a tree of links of any kinds, mostly with ways round, on two units and the interface between; checks of all kinds between any pads. */
export const anyGuide: fc.Arbitrary<Guide> = fc.integer({ min: 3, max: 7 }).chain((count) => {
  const nodes = Array.from({ length: count }, (_, k) => `n${k}`);
  const tree = fc.tuple(
    ...nodes.slice(1).map((to, k) => anyLink(fc.constant(to), fc.constantFrom(...nodes.slice(0, k + 1)), nodes)),
  );
  const round = fc.array(anyLink(fc.constantFrom(...nodes), fc.constantFrom(...nodes), nodes), { maxLength: 4 });
  const fields = fc.record({
    hasGround: fc.boolean(),
    isCut: fc.nat({ max: 4 }).map((k) => k === 0),
    rails: fc.array(fc.record({ node: fc.constantFrom(...nodes), volt: evenly(1, 5), ohm: anyOhm(-1, 2) }), {
      maxLength: 2,
    }),
    belowVolt: evenly(0.2, 2),
    input: fc.constantFrom(...nodes),
    apart: fc.subarray([0, 1, 2]),
    wrongPad: evenly(0.002, 0.1),
    healthy: evenly(0.02, 0.6),
    eyes: fc.record({ miss: evenly(0.01, 0.4), falseAlarm: evenly(0.01, 0.4) }),
  });
  return fc.tuple(tree, round, fields).chain(([trunk, more, given]) => {
    const all = [...(given.isCut ? trunk.slice(1) : trunk), ...more.filter(({ from, to }) => from !== to)];
    const links = all.map((link, k) => ({ ...link, id: `l${k}` }));
    const ground = given.hasGround ? { ground: nodes[0]! } : {};
    const rails = given.hasGround ? given.rails.map((rail, k) => ({ ...rail, id: `r${k}` })) : [];
    const switches = links.filter(({ kind }) => kind === 'switch').map(({ id }) => id);
    const guide: Guide = {
      ...circuitGuide(nodes, links, { ...ground, rails }),
      units: ['left', 'right'].map((id) => ({ id, name: id, lithium: false })),
      access: [{ id: 'apart', name: 'apart', minutes: 1, parts: given.apart.map((k) => links[k]?.id ?? 'l0') }],
      keys: switches.map((link, k) => ({
        id: `k${k}`,
        name: 'key',
        link,
        with: k === 0 && switches.length > 1 ? ['k1'] : [],
      })),
      inputs: given.hasGround ? [{ id: 'in', name: 'in', node: given.input, belowVolt: given.belowVolt }] : [],
      wrongPad: given.wrongPad,
      healthy: given.healthy,
      eyes: given.eyes,
    };
    return fc.array(anyCheck(guide), { minLength: 1, maxLength: 4 }).map((checks) => ({
      ...guide,
      checks: checks.map((check, k) => ({ ...check, id: `c${k}` })),
    }));
  });
});

function anyLink(
  from: fc.Arbitrary<string>,
  to: fc.Arbitrary<string>,
  nodes: string[],
): fc.Arbitrary<Omit<Link, 'id'>> {
  return fc
    .constantFrom(...linkKindNames)
    .chain((kind) =>
      fc.record({
        from,
        to,
        kind: fc.constant(kind),
        ohm: anyOhm(-2, kind === 'resistor' ? 5 : 2),
        spread: evenly(0, 0.2),
        normally: fc.constantFrom<Link['normally']>('open', 'closed'),
        near: fc.oneof(fc.constant<string[]>([]), fc.array(fc.constantFrom(...nodes), { maxLength: 2 })),
        weights: fc.oneof({ weight: 3, arbitrary: fc.constant<Link['weights']>({}) }, anyWeights(kind)),
      }),
    )
    .chain((link) =>
      fc
        .constantFrom<Pick<Link, 'unit' | 'between'>>(
          { unit: 'left' },
          { unit: 'right' },
          { unit: null, between: ['left', 'right'] },
        )
        .map((place) => ({ ...link, ...place })),
    );
}

function anyWeights(kind: LinkKind): fc.Arbitrary<Partial<Record<FaultMode, number>>> {
  const modes = linkKinds[kind].modes as readonly FaultMode[];
  return fc.dictionary(fc.constantFrom(...modes), fc.constantFrom(0, 0.5, 3, 20), { maxKeys: 3 });
}

function anyCheck(guide: Guide): fc.Arbitrary<Check> {
  const pads = fc.shuffledSubarray(guide.nodes, { minLength: 2, maxLength: 2 }) as unknown as fc.Arbitrary<
    [string, string]
  >;
  const keys = guide.keys.map(({ id }) => id);
  const common = {
    id: fc.constant(''),
    title: fc.constant('t'),
    prompt: fc.constant('p'),
    minutes: fc.constant(1),
    access: fc.constantFrom(undefined, undefined, 'apart') as fc.Arbitrary<string>,
    pressed: fc.subarray(keys),
    pads,
    level: fc.constantFrom<'dry' | 'normal'>('normal', 'dry'),
    limits: fc.oneof(
      fc.constant<Limits>({ quantity: 'resistance' }),
      anyOhm(-1, 6).map((max): Limits => ({ quantity: 'resistance', max })),
      anyOhm(-1, 6).map((min): Limits => ({ quantity: 'resistance', min })),
      anyOhm(-1, 6).map((min): Limits => ({ quantity: 'resistance', min, max: 3 * min })),
    ),
  };
  const volts = fc.oneof(
    fc.constant<Limits>({ quantity: 'voltage' }),
    evenly(0, 4).map((min): Limits => ({ quantity: 'voltage', min, max: min + 0.5 })),
    evenly(0, 4).map((max): Limits => ({ quantity: 'voltage', max })),
  );
  const off = fc.constant('off' as const);
  const on = fc.constant('on' as const);
  const kinds: fc.Arbitrary<Check>[] = [
    fc.record({ ...common, kind: fc.constant('resistance' as const), power: off }),
    fc.record({ ...common, kind: fc.constant('dry-normal' as const), power: off, factor: fc.constantFrom(2, 5) }),
    fc.record({
      ...common,
      kind: fc.constant('steady' as const),
      power: off,
      holdMs: fc.constant(1000),
      maxDropOuts: fc.constant(0),
      maxWander: fc.constant(0.2),
    }),
    fc.record({
      ...common,
      kind: fc.constant('look' as const),
      power: off,
      question: fc.constant('q'),
      passAnswer: fc.constantFrom<'yes' | 'no'>('yes', 'no'),
      sees: fc.subarray(guide.links.map(({ id }) => ({ link: id, mode: 'film' as const }))),
    }),
  ];
  if (keys.length > 0) {
    kinds.push(
      fc.record({
        ...common,
        kind: fc.constant('presses' as const),
        power: off,
        key: fc.constantFrom(...keys),
        count: fc.constant(20),
        maxBad: fc.constant(0),
      }),
    );
  }
  if (guide.ground !== null) {
    kinds.push(fc.record({ ...common, kind: fc.constant('voltage' as const), power: on, limits: volts }));
    kinds.push(
      fc.record({
        ...common,
        kind: fc.constant('bridge' as const),
        power: on,
        idle: volts,
        durationMs: fc.constant(300),
        collapse: fc.constant(0.3),
        input: fc.constant('in'),
        question: fc.constant('q'),
        answer: fc.constant('person' as const),
        withinMs: fc.constant(500),
      }),
    );
  }
  return fc.oneof(...kinds);
}
