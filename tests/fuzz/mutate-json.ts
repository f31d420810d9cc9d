import type { Draw } from './target.ts';

/** A place in a JSON value: what holds it, and under which key. */
interface Spot {
  owner: Record<string, unknown> | unknown[];
  key: string | number;
}

const strange: readonly unknown[] = [
  null,
  true,
  0,
  -1,
  0.5,
  1e308,
  -1e-308,
  2 ** 53,
  65_535,
  '',
  'pass',
  '../../x',
  '\u001b[2J\u202e\r\n',
  'x'.repeat(300),
  '2031-05-17T08:00:00.000Z',
  [],
  {},
  [[]],
];
const names = ['__proto__', 'constructor', 'kind', 'toString', 'length', 'p', '0'];

/** Returns a changed copy of a JSON value: one to three members removed, doubled, renamed or put in place of others. */
export function mutatedJson(value: unknown, draw: Draw): unknown {
  const holder = [structuredClone(value)];
  for (let times = 1 + draw.below(3); times > 0; times--) {
    const spots = spotsIn(holder);
    if (spots.length === 0) break;
    change(draw.of(spots), spots, draw);
  }
  return holder[0];
}

function spotsIn(root: unknown[]): Spot[] {
  const spots: Spot[] = [];
  const open: (Record<string, unknown> | unknown[])[] = [root];
  for (let owner = open.pop(); owner !== undefined; owner = open.pop()) {
    const keys = Array.isArray(owner) ? owner.keys() : Object.keys(owner);
    for (const key of keys) {
      spots.push({ owner, key });
      const inside = (owner as Record<string | number, unknown>)[key];
      if (typeof inside === 'object' && inside !== null) open.push(inside as Record<string, unknown>);
    }
  }
  return spots;
}

function change({ owner, key }: Spot, spots: readonly Spot[], draw: Draw): void {
  const held = owner as Record<string | number, unknown>;
  const now = held[key];
  switch (draw.below(6)) {
    case 0:
      if (Array.isArray(owner)) owner.splice(Number(key), 1);
      else delete held[key];
      return;
    case 1:
      if (Array.isArray(owner)) owner.splice(Number(key), 0, structuredClone(now));
      else held[draw.of(names)] = structuredClone(now);
      return;
    case 2: {
      const other = draw.of(spots);
      held[key] = structuredClone((other.owner as Record<string | number, unknown>)[other.key]);
      return;
    }
    case 3:
      if (typeof now === 'number') held[key] = draw.of([now + 1, now - 1, -now, now * 1000, now / 3]);
      else if (typeof now === 'string') held[key] = now.slice(0, draw.below(now.length + 1)) + draw.of(['', 'x', '\n']);
      else if (typeof now === 'boolean') held[key] = !now;
      return;
    default:
      held[key] = structuredClone(draw.of(strange));
  }
}
