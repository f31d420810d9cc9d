import { didYouMean } from '../file/near.ts';
import type { Path } from '../file/source-map.ts';
import { expandBehind } from './expand-behind.ts';
import { type ExpandedLines, expandLines, isFacing, type MadeLink, type ShortProblem } from './expand-lines.ts';
import { linkFields, parseLinkWords } from './link-words.ts';
import type { ShortGuide } from './short-schema.ts';
import { withStandardCautions } from './standard-cautions.ts';

/** A short guide written out. */
export interface ExpandedGuide {
  /** What a long guide file would hold, its checks as they are written. */
  data: Record<string, unknown>;
  /** For each item of a list of `data`, where in the short guide it comes from. */
  origins: Readonly<Record<string, readonly Path[]>>;
  problems: ShortProblem[];
}

/**
 * Returns the long guide that a short one stands for: nodes, links and pads from the table of
 * lines, each open to be overruled under `links` by its id.
 *
 * What is not of the short form is handed on as it was written.
 */
export function expandShort(short: ShortGuide): ExpandedGuide {
  const lines = expandLines(short);
  const problems = [...lines.problems];
  const ground = groundOf(short, lines);
  const behind = expandBehind(short, lines, ground);
  problems.push(...behind.problems, ...padProblems(short, lines), ...apartProblems(short, lines));
  const switches = switchesOf(short, lines, problems);
  const made = [...lines.links, ...switches.links, ...behind.links];
  setNear(short, lines, made, problems);
  const links = overruled(short, made);
  const { joints: _j, inside: _i, lines: _l, behind: _b, near: _n, ...rest } = short;
  const access = short.access.map(({ open, ...state }, at) => ({
    ...state,
    parts: [...partsOf(open ?? [], made, ['access', at, 'open'], problems), ...asList(state.parts)],
  }));
  const pads = Object.entries(short.pads).map(([id, told]) => {
    const { where, in: states, at } = typeof told === 'string' ? { where: told } : told;
    const reach = states ?? facesReached(id, made, access);
    return { id, node: id, where, ...defined({ in: reach, at }) };
  });
  const rails = [...behind.rails, ...asList(rest.rails)];
  const inputs = [...behind.inputs, ...asList(rest.inputs)];
  const data: Record<string, unknown> = {
    ...rest,
    ...(ground === undefined ? {} : { ground }),
    cautions: withStandardCautions(short.cautions),
    access,
    nodes: [...lines.points.map(({ node }) => node), ...behind.nodes, ...asList(rest.nodes)],
    pads,
    links: links.map(({ fields }) => fields),
    ...(rails.length === 0 ? {} : { rails }),
    ...(inputs.length === 0 ? {} : { inputs }),
    keys: switches.keys,
  };
  const origins = {
    nodes: lines.points.map(({ line, unit }) => ['lines', line, unit]),
    pads: Object.keys(short.pads).map((id) => ['pads', id]),
    links: links.map(({ origin }) => origin),
    rails: behind.rails.map(({ id }) => ['behind', String(id)]),
    inputs: behind.inputs.map(({ node }) => ['behind', String(node)]),
    cautions: [],
  };
  return { data, origins, problems };
}

function asList(value: unknown): unknown[] {
  return Array.isArray(value) ? value : [];
}

/** The ground is a point, or the last point of a line. */
function groundOf(short: ShortGuide, { points }: ExpandedLines): string | undefined {
  const named = short.ground;
  if (typeof named !== 'string') return undefined;
  if (points.some(({ node }) => node === named)) return named;
  const ofLine = points.filter(({ line }) => line === named);
  return (ofLine.findLast(({ isPad }) => isPad) ?? ofLine.at(-1))?.node ?? named;
}

function padProblems(short: ShortGuide, { points }: ExpandedLines): ShortProblem[] {
  const known = Object.keys(short.pads);
  const cells = points.filter(({ isPad }) => isPad);
  return [
    ...cells
      .filter(({ node }) => !known.includes(node))
      .map(({ node, line, unit }) => ({
        code: 'short.pad-unknown',
        path: ['lines', line, unit],
        args: { pad: node, near: didYouMean(node, known) },
      })),
    ...known
      .filter((pad) => cells.every(({ node }) => node !== pad))
      .map((pad) => ({ code: 'short.pad-nowhere', path: ['pads', pad], args: { pad } })),
  ];
}

/** Units that have lines, and that no joint leads to. */
function apartProblems(short: ShortGuide, { points, passed }: ExpandedLines): ShortProblem[] {
  const used = short.units.map(({ id }) => id).filter((unit) => points.some((point) => point.unit === unit));
  const reached = new Set(used.slice(0, 1));
  for (let grown = true; grown; ) {
    const before = reached.size;
    for (const pair of passed) {
      const ends = pair.split('/');
      if (ends.some((unit) => reached.has(unit))) for (const unit of ends) reached.add(unit);
    }
    grown = reached.size > before;
  }
  return used
    .filter((unit) => !reached.has(unit))
    .map((unit) => ({
      code: 'short.unit-apart',
      path: ['units', short.units.findIndex(({ id }) => id === unit)],
      args: { unit },
    }));
}

function switchesOf(
  short: ShortGuide,
  { points }: ExpandedLines,
  problems: ShortProblem[],
): { links: MadeLink[]; keys: Record<string, unknown>[] } {
  const links: MadeLink[] = [];
  const keys = short.keys.map(({ joins, in: within, switch: told, normally, link, ...key }, at) => {
    const add = (code: string, field: string, args: Record<string, string>): void => {
      problems.push({ code, path: ['keys', at, field], args: { key: key.id, ...args } });
    };
    const name = key.name ?? `key ${key.id}`;
    if (link !== undefined) return { ...key, name, link };
    const parsed = parseLinkWords(told);
    if (!parsed.ok) add('short.link-words', 'switch', { word: parsed.word });
    const words = parsed.ok ? parsed.words : {};
    const made = words.id ?? `switch-${key.id}`;
    if (joins === undefined) {
      add('short.key-joins', 'id', {});
      return { ...key, name, link: made };
    }
    // a line stands for its first point in the unit
    const found = joins.map((end) => {
      const point = points.find(({ node }) => node === end);
      if (point !== undefined) return [point];
      return points.filter(({ line, unit }) => line === end && (within === undefined || unit === within));
    });
    found.forEach((ends, side) => {
      const isLine = Object.hasOwn(short.lines, joins[side]!);
      if (ends.length === 0 && !isLine) add('short.key-end', 'joins', { end: joins[side]! });
    });
    const [from, to] = meeting(found[0]!, found[1]!);
    if (from === undefined || to === undefined) {
      if (joins.every((end, side) => found[side]!.length > 0 || Object.hasOwn(short.lines, end))) {
        add('short.key-apart', 'joins', { a: joins[0], b: joins[1] });
      }
      return { ...key, name, link: made };
    }
    const fields = {
      id: made,
      from: from.node,
      to: to.node,
      ...linkFields(words, 'switch'),
      normally,
      unit: from.unit,
    };
    links.push({ fields: fields as unknown as MadeLink['fields'], origin: ['keys', at], joint: null });
    return { ...key, name, link: made };
  });
  return { links, keys };
}

type Point = ExpandedLines['points'][number];

/** Returns the first two points that lie in one unit. */
function meeting(a: readonly Point[], b: readonly Point[]): [Point?, Point?] {
  for (const from of a) {
    const to = b.find(({ unit, node }) => unit === from.unit && node !== from.node);
    if (to !== undefined) return [from, to];
  }
  return [];
}

/** A short between neighbours in a unit goes from the first link of one line to the other line. */
function setNear(
  short: ShortGuide,
  { points }: ExpandedLines,
  links: readonly MadeLink[],
  problems: ShortProblem[],
): void {
  for (const [unit, pairs] of Object.entries(short.near)) {
    pairs.forEach((pair, at) => {
      const nodes = pair.map((line) => points.filter((point) => point.line === line && point.unit === unit));
      const linkOf = (side: number): MadeLink | undefined =>
        links.find(({ fields }) => nodes[side]!.some(({ node }) => node === fields.from));
      const side = linkOf(0) === undefined ? 1 : 0;
      const link = linkOf(side);
      const to = nodes[1 - side]!.at(-1);
      if (link === undefined || to === undefined) {
        problems.push({ code: 'short.near-apart', path: ['near', unit, at], args: { a: pair[0], b: pair[1], unit } });
        return;
      }
      link.fields.near = [...new Set([...asList(link.fields.near), to.node])];
    });
  }
}

function overruled(short: ShortGuide, made: readonly MadeLink[]): MadeLink[] {
  const links = made.map((link) => ({ ...link }));
  short.links.forEach((own, at) => {
    const known = links.find(({ fields }) => fields.id === own.id);
    const origin = ['links', at];
    if (known === undefined) {
      links.push({ fields: own as unknown as MadeLink['fields'], origin, joint: null });
      return;
    }
    const { spread, max, unit, between, ...kept } = known.fields;
    const width = own.spread === undefined && own.max === undefined ? { spread, max } : {};
    const owner = own.unit === undefined && own.between === undefined ? { unit, between } : {};
    known.fields = defined({ ...kept, ...width, ...owner, ...own }) as MadeLink['fields'];
    known.origin = origin;
  });
  return links;
}

function defined(fields: Record<string, unknown>): Record<string, unknown> {
  return Object.fromEntries(Object.entries(fields).filter(([, value]) => value !== undefined));
}

/** The links that a state of disassembly takes apart: those of its open joints. */
function partsOf(
  joints: readonly string[],
  links: readonly MadeLink[],
  path: Path,
  problems: ShortProblem[],
): string[] {
  return joints.flatMap((pair, k) => {
    const turned = pair.split('/').reverse().join('/');
    const parts = links.filter(({ joint }) => joint === pair || joint === turned).map(({ fields }) => fields.id);
    if (parts.length === 0) problems.push({ code: 'short.open', path: [...path, k], args: { pair } });
    return parts;
  });
}

/** The faces of a joint that lies face to face are reached only where that joint is open. */
function facesReached(
  pad: string,
  links: readonly MadeLink[],
  access: readonly { id: string; parts: unknown[] }[],
): string[] | undefined {
  const joint = links.find(
    ({ fields, joint: pair }) => pair !== null && isFacing(fields.kind) && (fields.from === pad || fields.to === pad),
  );
  if (joint === undefined) return undefined;
  const states = access.filter(({ parts }) => parts.includes(joint.fields.id)).map(({ id }) => id);
  return states.length === 0 ? undefined : states;
}
