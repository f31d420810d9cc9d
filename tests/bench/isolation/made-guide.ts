import { type Random, randomOf } from '../../../sim/random.ts';
import type { LinkKind } from '../../../src/guide/circuit/link-kinds.ts';
import type { Check, Guide, Limits, Link, Repair, Unit } from '../../../src/guide/types.ts';
import { circuitGuide } from '../../outside/solver-network.ts';

type Given = Partial<Link> & Pick<Link, 'id' | 'from' | 'to' | 'ohm'>;

/** What a line of a made-up device runs through, from the key inward. */
interface Line {
  key: string;
  spring: string;
  /** Board's side of the connector. */
  inner: string;
  outer: string;
  input: string;
}

/**
 * Returns a made-up guide of a handheld device with a key unit, perhaps a small board on the way, and a main board: one to three key lines over
 * separable contacts, traces and a connector to inputs with pull-ups, a common return, one supply. Values, limits, kinds of contact and prices are drawn.
 */
export function madeGuide(seed: number): Guide {
  const random = randomOf(seed, 'made guide');
  const count = random.integer(1, 3);
  const contact: LinkKind = pick(['spring', 'landing', 'connector'], random);
  const hasSmall = random.uniform() < 0.7;
  const inward = hasSmall ? 'small-board' : 'main-board';
  const about = (ohm: number): number => ohm * 2 ** (2 * random.uniform() - 1);
  const lines = Array.from({ length: count }, (_, k): Line => {
    const n = k + 1;
    return { key: `KEY${n}`, spring: `SPR${n}`, outer: `OUT${n}`, inner: `INN${n}`, input: `IN${n}` };
  });
  const links: Given[] = [];
  const add = (
    id: string,
    from: string,
    to: string,
    kind: LinkKind,
    ohm: number,
    unit: string | [string, string],
    more: Partial<Link> = {},
  ): void => {
    const where = typeof unit === 'string' ? { unit } : { unit: null, between: unit };
    const spread = kind === 'resistor' ? 0.02 : 0.1 + 0.15 * random.uniform();
    links.push({ id, from, to, kind, ohm, spread, ...where, ...more });
  };
  const volt = pick([1.8, 2.8, 3.3], random);
  for (const [k, line] of lines.entries()) {
    const n = k + 1;
    const near = lines[k + 1] === undefined || random.uniform() < 0.4 ? [] : [lines[k + 1]!.outer];
    add(`dome-${n}`, line.key, 'KEYC', 'switch', about(1), 'key-unit');
    add(`contact-${n}`, line.key, line.spring, contact, about(0.05), ['key-unit', inward]);
    if (hasSmall) {
      add(`trace-${n}`, line.spring, line.outer, 'trace', about(0.2), 'small-board', { near });
      add(`plug-${n}`, line.outer, line.inner, 'connector', about(0.03), ['small-board', 'main-board']);
    } else
      add(`trace-${n}`, line.spring, line.inner, 'trace', about(0.2), 'main-board', {
        near: near.length > 0 ? ['GND'] : [],
      });
    add(`series-${n}`, line.inner, line.input, 'resistor', pick([100, 470, 1000], random), 'main-board');
    add(`pullup-${n}`, 'VIO', line.input, 'resistor', pick([22e3, 47e3, 100e3], random), 'main-board');
  }
  add('contact-c', 'KEYC', 'SPRC', contact, about(0.05), ['key-unit', inward]);
  if (hasSmall) {
    add('plane-small', 'SPRC', 'OUTC', 'trace', about(0.03), 'small-board');
    add('plug-c', 'OUTC', 'INNC', 'connector', about(0.03), ['small-board', 'main-board']);
  } else add('joint-c', 'SPRC', 'INNC', 'joint', about(0.02), 'main-board');
  add('plane-main', 'INNC', 'GND', 'trace', about(0.01), 'main-board');
  add('regulator', 'REG', 'VIO', 'chip-pin', 0.3, 'main-board');
  add('load', 'VIO', 'GND', 'resistor', about(3000), 'main-board');
  const nodes = [...new Set(links.flatMap(({ from, to }) => [from, to]))];
  const guide = circuitGuide(nodes, links, {
    ground: 'GND',
    rails: [{ id: 'io', node: 'REG', volt, ohm: 0.2 }],
    inputs: lines.map(({ input }, k) => ({
      id: `in-${k + 1}`,
      name: `answers to key ${k + 1}`,
      node: input,
      belowVolt: 0.35 * volt,
    })),
    keys: lines.map((_, k) => ({ id: `key-${k + 1}`, name: `key ${k + 1}`, link: `dome-${k + 1}`, with: [] })),
  });
  const contacts = links.filter(({ id }) => id.startsWith('contact-')).map(({ id }) => id);
  return {
    ...guide,
    id: `made-${seed}`,
    currency: 'EUR',
    access: [
      { id: 'back-off', name: 'back off', minutes: random.integer(2, 6), parts: [] },
      { id: 'key-off', name: 'key unit lifted off', minutes: random.integer(7, 10), parts: contacts },
    ],
    powerMinutes: 1,
    units: unitsOf(hasSmall, random),
    checks: checksOf(lines, links, hasSmall, volt, random),
    repairs: repairsOf(links, hasSmall, random),
    usual: 'new-key',
    healthy: 0.06,
  };
}

function unitsOf(hasSmall: boolean, random: Random): Unit[] {
  const unit = (id: string, name: string, low: number, high: number): Unit => ({
    id,
    name,
    price: random.integer(low, high),
    minutes: 10,
    lithium: false,
  });
  const small = hasSmall ? [unit('small-board', 'small board', 20, 50)] : [];
  return [unit('key-unit', 'key unit', 8, 25), ...small, unit('main-board', 'main board', 90, 200)];
}

function checksOf(
  lines: readonly Line[],
  links: readonly Given[],
  hasSmall: boolean,
  volt: number,
  random: Random,
): Check[] {
  const ohmOf = (...ids: string[]): number =>
    ids.reduce((sum, id) => sum + (links.find((link) => link.id === id)?.ohm ?? 0), 0);
  const most = (ohm: number): Limits => ({ quantity: 'resistance', max: ohm * (2 + 4 * random.uniform()) + 0.05 });
  const common = { prompt: 'Touch both pads.', level: 'normal' as const, pressed: [] as string[] };
  const off = { ...common, power: 'off' as const };
  const on = { ...common, power: 'on' as const };
  const within: Limits = { quantity: 'voltage', min: volt * 0.94, max: volt * 1.06 };
  const checks: Check[] = [
    {
      ...off,
      id: 'look',
      kind: 'look',
      title: 'Contact pads',
      access: 'key-off',
      minutes: 1,
      question: 'Are the pads bright?',
      passAnswer: 'yes',
      sees: links.filter(({ id }) => id.startsWith('contact-')).map(({ id }) => ({ link: id, mode: 'film' })),
    },
    {
      ...off,
      id: 'return',
      kind: 'resistance',
      title: 'Common return',
      access: 'key-off',
      minutes: 1,
      pads: ['SPRC', 'GND'],
      limits: most(ohmOf('plane-small', 'plug-c', 'joint-c', 'plane-main')),
    },
    {
      ...on,
      id: 'supply',
      kind: 'voltage',
      title: 'Supply',
      access: 'back-off',
      minutes: 1,
      pads: ['VIO', 'GND'],
      limits: { quantity: 'voltage', min: volt * 0.95, max: volt * 1.05 },
    },
  ];
  for (const [k, { key, spring, inner, outer }] of lines.entries()) {
    const n = k + 1;
    const pressed = [`key-${n}`];
    const whole = ohmOf(
      `dome-${n}`,
      `contact-${n}`,
      'contact-c',
      `trace-${n}`,
      `plug-${n}`,
      'plane-small',
      'plug-c',
      'joint-c',
      'plane-main',
    );
    checks.push(
      {
        ...off,
        id: `closed-${n}`,
        kind: 'resistance',
        title: `Key ${n} held`,
        access: 'key-off',
        minutes: 2,
        pads: [key, 'KEYC'],
        pressed,
        limits: most(ohmOf(`dome-${n}`)),
      },
      {
        ...off,
        id: `released-${n}`,
        kind: 'resistance',
        title: `Key ${n} let go`,
        access: 'key-off',
        minutes: 1,
        pads: [key, 'KEYC'],
        limits: { quantity: 'resistance', min: 5e6 },
      },
      {
        ...off,
        id: `line-${n}`,
        kind: 'resistance',
        title: `Line ${n}`,
        access: 'key-off',
        minutes: 1,
        pads: [spring, inner],
        limits: most(ohmOf(`trace-${n}`, `plug-${n}`)),
      },
      {
        ...off,
        id: `whole-${n}`,
        kind: 'dry-normal',
        title: `Whole path ${n}`,
        power: 'off',
        access: 'back-off',
        minutes: 2,
        pads: [inner, 'GND'],
        pressed,
        limits: most(whole),
        factor: 2,
      },
      {
        ...off,
        id: `flexing-${n}`,
        kind: 'steady',
        power: 'off',
        title: `Whole path ${n} while you flex`,
        access: 'back-off',
        minutes: 3,
        pads: [inner, 'GND'],
        pressed,
        limits: most(3 * whole),
        holdMs: 4000,
        maxDropOuts: 0,
        maxWander: 0.3,
      },
      {
        ...on,
        id: `idle-${n}`,
        kind: 'voltage',
        title: `Line ${n} at rest`,
        access: 'key-off',
        minutes: 1,
        pads: [spring, 'SPRC'],
        limits: within,
      },
      {
        ...on,
        id: `bridge-${n}`,
        kind: 'bridge',
        power: 'on',
        title: `Press ${n} imitated`,
        access: 'key-off',
        minutes: 2,
        pads: [spring, 'SPRC'],
        idle: within,
        durationMs: 300,
        collapse: 0.3,
        input: `in-${n}`,
        question: 'Did it answer?',
        answer: 'person',
        withinMs: 1000,
      },
      {
        ...on,
        id: `bridge-main-${n}`,
        kind: 'bridge',
        power: 'on',
        title: `Press ${n} imitated on the main board`,
        access: 'back-off',
        minutes: 2,
        pads: [inner, 'GND'],
        idle: within,
        durationMs: 300,
        collapse: 0.3,
        input: `in-${n}`,
        question: 'Did it answer?',
        answer: 'person',
        withinMs: 1000,
      },
    );
    if (random.uniform() < 0.5)
      checks.push({
        ...off,
        id: `presses-${n}`,
        kind: 'presses',
        title: `Key ${n} pressed`,
        access: 'key-off',
        minutes: 3,
        pads: [key, 'KEYC'],
        key: `key-${n}`,
        count: 15,
        maxBad: 0,
        limits: most(ohmOf(`dome-${n}`)),
      });
    if (hasSmall)
      checks.push({
        ...off,
        id: `crossing-${n}`,
        kind: 'resistance',
        title: `Connector, line ${n}`,
        access: 'back-off',
        minutes: 1,
        pads: [outer, inner],
        limits: most(ohmOf(`plug-${n}`)),
      });
  }
  return checks;
}

function repairsOf(links: readonly Given[], hasSmall: boolean, random: Random): Repair[] {
  const of = (unit: string): Repair['fixes'] =>
    links.filter((link) => link.unit === unit).map(({ id }) => ({ link: id, mode: null }));
  const contacts = links.filter(({ id }) => id.startsWith('contact-')).map(({ id }) => id);
  const repairs: Repair[] = [
    {
      id: 'clean',
      name: 'clean the contacts',
      fixes: contacts.flatMap((link) => [
        { link, mode: 'film' as const },
        { link, mode: 'high' as const },
      ]),
      price: 0.4,
      minutes: 6,
      success: 0.85,
    },
    {
      id: 're-seat',
      name: 'seat the contacts again',
      fixes: contacts.flatMap((link) => [
        { link, mode: 'weak' as const },
        { link, mode: 'intermittent' as const },
      ]),
      price: 0,
      minutes: 6,
      success: 0.7,
    },
    {
      id: 'new-key',
      name: 'fit a new key unit',
      fixes: [...of('key-unit'), ...contacts.map((link) => ({ link, mode: null }))],
      price: random.integer(10, 30),
      minutes: 8,
      success: 0.97,
    },
    {
      id: 'refer',
      name: 'hand the main board to a board-level bench',
      fixes: of('main-board'),
      price: 65,
      minutes: 30,
      success: 0.8,
    },
  ];
  if (!hasSmall) return repairs;
  const plugs = links.filter(({ id }) => id.startsWith('plug-')).map(({ id }) => ({ link: id, mode: null }));
  return [
    ...repairs,
    { id: 'plug', name: 'plug the boards again', fixes: plugs, price: 0, minutes: 8, success: 0.6 },
    {
      id: 'new-small',
      name: 'fit a new small board',
      fixes: of('small-board'),
      price: random.integer(25, 60),
      minutes: 18,
      success: 0.96,
    },
  ];
}

function pick<T>(from: readonly T[], random: Random): T {
  return from[random.integer(0, from.length - 1)]!;
}
