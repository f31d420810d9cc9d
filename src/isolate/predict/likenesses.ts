import type { FaultMode } from '../../guide/types.ts';
import type { FaultCell } from '../suspects/fault-cells.ts';
import type { CellSuspect } from '../suspects/suspects.ts';
import type { ChannelLooker } from './channel-looker.ts';
import { DistinctRows } from './distinct-rows.ts';

/** Ways to fail that take conductance off a link. */
const raising: readonly FaultMode[] = ['open', 'high', 'film', 'weak', 'intermittent'];

/**
 * How suspects fail, as numbers: of links that look alike, those that fail in one way look alike.
 */
export interface Ways {
  /** For each suspect its link; -1: none. */
  link: Int32Array;
  /**
   * For each suspect the number of its way to fail, with its cells; -1: it is looked at by itself.
   */
  way: Int32Array;
  ways: number;
  mostCells: number;
  /** The suspect that may show in any check; -1: there is none. */
  any: number;
}

/** Returns how the suspects of a guide fail. */
export function waysOf(suspects: readonly CellSuspect[]): Ways {
  const numbers = new Map<readonly FaultCell[], Map<FaultMode, number>>();
  let ways = 0;
  const way = Int32Array.from(suspects, ({ link, faults, cells }) => {
    const mode = faults[0]?.mode;
    if (link === -1 || mode === undefined || !raising.includes(mode)) return -1;
    const known = numbers.get(cells) ?? new Map<FaultMode, number>();
    numbers.set(cells, known);
    if (!known.has(mode)) known.set(mode, ways++);
    return known.get(mode)!;
  });
  const mostCells = suspects.reduce((most, { cells }) => Math.max(most, cells.length), 1);
  const any = suspects.findIndex(({ cause }) => cause?.kind === 'any');
  return { link: Int32Array.from(suspects, ({ link }) => link), way, ways, mostCells, any };
}

const [notLooked, alone] = [-1, -2];
const shapeFields = 4;

/**
 * Numbers suspects so that those with the same number look alike to one channel: links of one path
 * look alike from its ends.
 */
export class Likenesses {
  readonly #looker: ChannelLooker;
  readonly #ways: Ways;
  readonly #shapeOf: Int32Array;
  readonly #shapes = new DistinctRows(shapeFields);
  readonly #row = new Float32Array(shapeFields);
  readonly #bits = new Int32Array(this.#row.buffer);

  constructor(looker: ChannelLooker, ways: Ways, links: number) {
    this.#looker = looker;
    this.#ways = ways;
    this.#shapeOf = new Int32Array(links).fill(notLooked);
  }

  /** All numbers are below this. */
  get most(): number {
    return this.#shapeOf.length * this.#ways.ways;
  }

  /** Returns a suspect's number; -1: it is to be looked at by itself. */
  of(suspect: number): number {
    const way = this.#ways.way[suspect]!;
    if (way === -1) return -1;
    const link = this.#ways.link[suspect]!;
    let shape = this.#shapeOf[link]!;
    if (shape === notLooked) {
      shape = this.#looker.shape(link, this.#row) ? this.#shapes.add(this.#bits, 0) : alone;
      this.#shapeOf[link] = shape;
    }
    return shape === alone ? -1 : shape * this.#ways.ways + way;
  }
}
