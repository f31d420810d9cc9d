import type { Limits } from '../../guide/types.ts';
import type { IsolationRules } from '../rules.ts';
import type { ChannelCell } from '../suspects/scale.ts';
import type { CellSuspect } from '../suspects/suspects.ts';
import type { Channel } from './channel.ts';
import { ChannelLooker } from './channel-looker.ts';
import { DistinctRows } from './distinct-rows.ts';
import type { Circuits } from './model-circuits.ts';

/**
 * What one channel of a check sees under every suspect. Suspects that don't matter to it share the
 * healthy cell.
 */
export interface ChannelTable {
  channel: Channel;
  healthy: ChannelCell;
  /** For each suspect, where its cells begin in `kindOf`; -1: as healthy. */
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

/** Returns what a channel sees under every suspect of a guide. */
export function channelTable(
  circuits: Circuits,
  suspects: readonly CellSuspect[],
  channel: Channel,
  limits: Limits | null,
  rules: IsolationRules,
): ChannelTable {
  const looker = new ChannelLooker(circuits, channel, limits, rules);
  const rowOf = new Int32Array(suspects.length).fill(-1);
  const kindOf = new Int32Array(suspects.reduce((sum, { cells }) => sum + cells.length, 0));
  const distinct = new DistinctRows(cellFields);
  const seen = new Float32Array(cellFields * suspects.reduce((most, { cells }) => Math.max(most, cells.length), 1));
  const bits = new Int32Array(seen.buffer);
  let used = 0;
  suspects.forEach((suspect, s) => {
    if (suspect.link === -1 && suspect.cause === undefined) return;
    if (!looker.look(suspect, seen)) return;
    rowOf[s] = used;
    for (let c = 0; c < suspect.cells.length; c++) kindOf[used++] = distinct.add(bits, c * cellFields);
  });
  return {
    channel,
    healthy: looker.healthy,
    rowOf,
    kindOf: kindOf.slice(0, used),
    cells: new Float32Array(distinct.rows().buffer),
  };
}
