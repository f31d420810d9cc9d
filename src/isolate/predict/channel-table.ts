import type { Limits } from '../../guide/types.ts';
import type { IsolationRules } from '../rules/isolation-rules.ts';
import type { ChannelCell } from '../suspects/scale.ts';
import type { CellSuspect } from '../suspects/suspects.ts';
import type { Channel } from './channel.ts';
import { ChannelLooker } from './channel-looker.ts';
import { DistinctRows } from './distinct-rows.ts';
import { Likenesses, type Ways } from './likenesses.ts';
import type { Circuits } from './model-circuits.ts';

/**
 * What one channel of a check sees under every suspect. Suspects that don't matter to it share the
 * healthy cell.
 */
export interface ChannelTable {
  channel: Channel;
  healthy: ChannelCell;
  /**
   * For each suspect, where its cells begin in `kindOf`, suspects that look alike at the same
   * place; -1: as healthy.
   */
  rowOf: Int32Array;
  /**
   * For each cell the number of its like in `cells`: most links of one path look alike from its
   * ends.
   */
  kindOf: Int32Array;
  /** Five numbers a distinct cell: low, high, sigma, unsteady, alt. */
  cells: Float32Array;
}

/** Fields of a cell in `ChannelTable.cells`. */
export const cellFields = 5;

const notLooked = -2;

/** Returns what a channel sees under every suspect of a guide. */
export function channelTable(
  circuits: Circuits,
  suspects: readonly CellSuspect[],
  ways: Ways,
  channel: Channel,
  limits: Limits | null,
  rules: IsolationRules,
): ChannelTable {
  const looker = new ChannelLooker(circuits, channel, limits, rules);
  const likenesses = new Likenesses(looker, ways, looker.links);
  const starts = new Int32Array(likenesses.most).fill(notLooked);
  const rowOf = new Int32Array(suspects.length).fill(-1);
  const kindOf: number[] = [];
  const distinct = new DistinctRows(cellFields);
  const seen = new Float32Array(cellFields * ways.mostCells);
  const bits = new Int32Array(seen.buffer);
  const rowAt = (s: number): number => {
    const suspect = suspects[s]!;
    if (suspect.link === -1 && suspect.cause === undefined) return -1;
    if (!looker.look(suspect, seen)) return -1;
    const start = kindOf.length;
    for (let c = 0; c < suspect.cells.length; c++) kindOf.push(distinct.add(bits, c * cellFields));
    return start;
  };
  for (let s = 0; s < suspects.length; s++) {
    const likeness = likenesses.of(s);
    if (likeness === -1) {
      rowOf[s] = rowAt(s);
      continue;
    }
    if (starts[likeness] === notLooked) starts[likeness] = rowAt(s);
    rowOf[s] = starts[likeness]!;
  }
  return {
    channel,
    healthy: looker.healthy,
    rowOf,
    kindOf: Int32Array.from(kindOf),
    cells: new Float32Array(distinct.rows().buffer),
  };
}
