import { parseQuantity } from '../file/quantity.ts';
import type { ExpandedLines, MadeLink, ShortProblem } from './expand-lines.ts';
import { linkFields, parseLinkWords } from './link-words.ts';
import type { ShortGuide } from './short-schema.ts';

/** What hangs behind the points of a short guide, as it goes into a long one. */
export interface ExpandedBehind {
  nodes: string[];
  links: MadeLink[];
  rails: Record<string, unknown>[];
  inputs: Record<string, unknown>[];
  problems: ShortProblem[];
}

/** An input answers below this share of its supply: assumed, and never seen on one unit. */
const assumedThreshold = 0.35;
/** Behind a supply, and inside a cell; common practice, no source. */
const supplyOhm = '0.2 ohm';
const cellOhm = '150 mohm';

/** Returns the pull-ups, loads, supplies, cells and inputs that `behind` names. */
export function expandBehind(short: ShortGuide, lines: ExpandedLines, ground: string | undefined): ExpandedBehind {
  const made: ExpandedBehind = { nodes: [], links: [], rails: [], inputs: [], problems: [] };
  for (const [point, told] of Object.entries(short.behind)) {
    const origin = ['behind', point];
    const unit = lines.points.find(({ node }) => node === point)?.unit;
    const add = (code: string, args: Record<string, string>, field?: string): void => {
      made.problems.push({ code, path: field === undefined ? origin : [...origin, field], args });
    };
    if (unit === undefined) {
      add('short.point', { point });
      continue;
    }
    const link = (id: string, from: string, to: string, text: string, field: string, kind: 'resistor' | 'chip-pin') => {
      const parsed = parseLinkWords(text);
      if (!parsed.ok) {
        add('short.link-words', { word: parsed.word }, field);
        return;
      }
      const fields = { id: parsed.words.id ?? id, from, to, ...linkFields(parsed.words, kind), unit };
      made.links.push({ fields: fields as unknown as MadeLink['fields'], origin: [...origin, field], joint: null });
    };
    const pull = told['pull-up']?.trim();
    const [pullTo, ...pullWords] = pull?.split(/\s+/) ?? [];
    if (pullTo !== undefined) {
      if (lines.points.every(({ node }) => node !== pullTo)) add('short.point', { point: pullTo }, 'pull-up');
      else link(`pullup-${point}`, pullTo, point, pullWords.join(' '), 'pull-up', 'resistor');
    }
    if (told.load !== undefined) {
      if (ground === undefined) add('short.ground', {}, 'load');
      else link(`load-${point}`, point, ground, told.load, 'load', 'resistor');
    }
    if (told.supply !== undefined) {
      const node = `${point}.supply`;
      made.nodes.push(node);
      link(`regulator-${point}`, node, point, told.source, 'source', 'chip-pin');
      made.rails.push({ id: told.as ?? point, node, volt: `${told.supply} V`, ohm: supplyOhm });
    }
    if (told.cell !== undefined) {
      const source = parseQuantity(told.source, 'ohm').ok ? told.source : cellOhm;
      made.rails.push({ id: told.as ?? point, node: point, volt: `${told.cell} V`, ohm: source });
    }
    if (told.input !== undefined) {
      const volt = told.below ?? assumedThreshold * (short.behind[pullTo ?? '']?.supply ?? Number.NaN);
      if (Number.isNaN(volt)) add('short.threshold', { point }, 'input');
      else made.inputs.push({ id: told.input, name: told.does ?? told.input, node: point, below: `${volt} V` });
    }
  }
  return made;
}
