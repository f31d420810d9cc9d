import type { LinkKind } from '../circuit/link-kinds.ts';
import type { Path } from '../file/source-map.ts';
import { type CellPoint, parseCell } from './cells.ts';
import { type LinkWords, linkFields, parseLinkWords, withFallback } from './link-words.ts';
import type { ShortGuide } from './short-schema.ts';

/** What is wrong in a short guide: a code of `words.ts`, where, and its arguments. */
export interface ShortProblem {
  code: string;
  path: Path;
  args: Record<string, string>;
}

/** A link as it goes into a long guide, and where in the short one it comes from. */
export interface MadeLink {
  fields: Record<string, unknown> & { id: string; from: string; to: string; kind: LinkKind };
  origin: Path;
  /** The joint that it is part of, as `UNIT/UNIT` in the order of the units; null: inside a unit. */
  joint: string | null;
}

interface MadePoint {
  node: string;
  isPad: boolean;
  line: string;
  unit: string;
}

/** The circuit that the table of lines stands for. */
export interface ExpandedLines {
  points: MadePoint[];
  links: MadeLink[];
  /** Joints that some line passes, by `UNIT/UNIT`. */
  passed: Set<string>;
  problems: ShortProblem[];
}

/** Kinds of joint whose two faces are what the tips touch. */
const facing: readonly LinkKind[] = ['spring', 'landing'];

/** Returns whether the points beside a joint of this kind are the joint's own faces. */
export function isFacing(kind: LinkKind): boolean {
  return facing.includes(kind);
}

/**
 * Returns the points and links of a table of lines by units.
 *
 * Between two points of a cell lies a link of the unit; between a line's cells in two units that
 * follow each other, their joint. Between a joint and a pad that isn't marked as standing at it a
 * point and a trace are put, so that no link belongs to two decisions.
 */
export function expandLines(short: ShortGuide): ExpandedLines {
  const made: ExpandedLines = { points: [], links: [], passed: new Set(), problems: [] };
  const units = short.units.map(({ id }) => id);
  const joints = wordsOf(short.joints, 'joints', made.problems);
  const inside = wordsOf(short.inside, 'inside', made.problems);
  for (const pair of Object.keys(short.joints)) {
    const ends = pair.split('/');
    if (ends.length !== 2 || ends.some((unit) => !units.includes(unit)) || ends[0] === ends[1]) {
      made.problems.push({ code: 'short.joint', path: ['joints', pair], args: { pair, units: units.join(', ') } });
    }
  }
  for (const [line, cells] of Object.entries(short.lines)) {
    for (const unit of Object.keys(cells)) {
      if (unit === 'name' || units.includes(unit)) continue;
      made.problems.push({ code: 'short.unit', path: ['lines', line, unit], args: { unit, units: units.join(', ') } });
    }
    new LineMaker(made, line, cells, { joints, inside }).make(units);
  }
  return made;
}

class LineMaker {
  readonly #made: ExpandedLines;
  readonly #line: string;
  readonly #cells: Readonly<Record<string, string>>;
  readonly #usual: { joints: ReadonlyMap<string, LinkWords>; inside: ReadonlyMap<string, LinkWords> };
  #last: { unit: string; node: string; point: CellPoint } | null = null;
  #unnamed = 0;

  constructor(
    made: ExpandedLines,
    line: string,
    cells: Readonly<Record<string, string>>,
    usual: { joints: ReadonlyMap<string, LinkWords>; inside: ReadonlyMap<string, LinkWords> },
  ) {
    this.#made = made;
    this.#line = line;
    this.#cells = cells;
    this.#usual = usual;
  }

  make(units: readonly string[]): void {
    let pads = 0;
    for (const unit of units) {
      const cell = this.#cells[unit];
      if (cell === undefined) continue;
      const parsed = parseCell(cell);
      if (!parsed.ok) {
        this.#problem(parsed.code, { word: parsed.word }, unit);
        return;
      }
      this.#unnamed = 0;
      for (const [at, point] of parsed.points.entries()) {
        if (at === 0) this.#begin(unit, point);
        else this.#goOn(unit, point);
        if (point.isPad) pads += 1;
      }
    }
    if (pads === 0) this.#problem('short.no-pad', { line: this.#line });
  }

  /** The first point of a cell: the joint leads to it. */
  #begin(unit: string, point: CellPoint): void {
    const last = this.#last;
    if (last === null) {
      this.#last = { unit, node: this.#point(point, unit), point };
      return;
    }
    const pair = `${last.unit}/${unit}`;
    const usual = this.#usual.joints.get(pair) ?? this.#usual.joints.get(`${unit}/${last.unit}`);
    const words = withFallback(point.link, usual ?? {});
    if (words.kind === undefined) {
      this.#problem('short.joint-missing', { pair, line: this.#line }, unit);
      return;
    }
    const { kind } = words;
    let from = last.node;
    if (last.point.isPad && !last.point.atJoint.after && !isFacing(kind)) {
      from = this.#hidden(`${this.#line}.${last.unit}.out`, last.unit);
      this.#inside(last.unit, last.node, from, {}, '-out');
    }
    const node = this.#point(point, unit);
    const needsFoot = point.isPad && !point.atJoint.before && !isFacing(kind);
    const to = needsFoot ? this.#hidden(`${this.#line}.${unit}.in`, unit) : node;
    const fields = { from, to, ...linkFields(words, kind), kind, between: [last.unit, unit] };
    this.#link(words.id, `${kind}-${this.#line}-${last.unit}-${unit}`, fields, unit, pair);
    this.#made.passed.add(pair);
    if (needsFoot) this.#inside(unit, to, node, {}, '-in');
    this.#last = { unit, node, point };
  }

  #goOn(unit: string, point: CellPoint): void {
    const from = this.#last?.node;
    const node = this.#point(point, unit);
    if (from !== undefined) this.#inside(unit, from, node, point.link, '');
    this.#last = { unit, node, point };
  }

  #inside(unit: string, from: string, to: string, own: LinkWords, suffix: string): void {
    const words = withFallback(own, this.#usual.inside.get(unit) ?? {});
    const kind = words.kind ?? 'trace';
    const fields = { from, to, ...linkFields(words, kind), kind, unit };
    this.#link(words.id, `${kind}-${this.#line}-${unit}${suffix}`, fields, unit, null);
  }

  #link(
    id: string | undefined,
    usualId: string,
    fields: Omit<MadeLink['fields'], 'id'>,
    cell: string,
    joint: string | null,
  ): void {
    const taken = (name: string): boolean => this.#made.links.some((link) => link.fields.id === name);
    let own = id ?? usualId;
    for (let n = 2; id === undefined && taken(own); n++) own = `${usualId}-${n}`;
    this.#made.links.push({
      fields: { id: own, ...fields } as MadeLink['fields'],
      origin: ['lines', this.#line, cell],
      joint,
    });
  }

  #point(point: CellPoint, unit: string): string {
    if (point.name === null) {
      this.#unnamed += 1;
      return this.#hidden(`${this.#line}.${unit}.${this.#unnamed}`, unit);
    }
    const first = this.#made.points.find(({ node }) => node === point.name);
    if (first !== undefined) {
      this.#problem('short.twice', { point: point.name, line: first.line, unit: first.unit }, unit);
      return point.name;
    }
    this.#made.points.push({ node: point.name, isPad: point.isPad, line: this.#line, unit });
    return point.name;
  }

  #hidden(node: string, unit: string): string {
    this.#made.points.push({ node, isPad: false, line: this.#line, unit });
    return node;
  }

  #problem(code: string, args: Record<string, string>, unit?: string): void {
    const path = unit === undefined ? ['lines', this.#line] : ['lines', this.#line, unit];
    this.#made.problems.push({ code, path, args });
  }
}

function wordsOf(
  record: Readonly<Record<string, string>>,
  field: string,
  problems: ShortProblem[],
): Map<string, LinkWords> {
  const read = new Map<string, LinkWords>();
  for (const [name, text] of Object.entries(record)) {
    const parsed = parseLinkWords(text);
    if (parsed.ok) read.set(name, parsed.words);
    else problems.push({ code: 'short.link-words', path: [field, name], args: { word: parsed.word } });
  }
  return read;
}
