import type { Limits } from '../../guide/types.ts';
import type { IsolationRules } from '../rules.ts';
import type { ChannelCell } from '../suspects/scale.ts';
import type { CellSuspect } from '../suspects/suspects.ts';
import { ChannelLooker } from './channel-looker.ts';
import type { Channel } from './channels.ts';
import type { Circuits } from './model-circuits.ts';

/** What one channel of a check sees under every suspect. Suspects that don't matter to it share the healthy cell. */
export interface ChannelTable {
  channel: Channel;
  healthy: ChannelCell;
  /** For each suspect, where its cells begin in `cells`; -1: as healthy. */
  rowOf: Int32Array;
  /** Five numbers a cell: low, high, sigma, unsteady, alt. */
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
  const numbers: number[] = [];
  suspects.forEach((suspect, s) => {
    if (suspect.link === -1 && suspect.cause === undefined) return;
    const cells = looker.cellsOf(suspect);
    if (cells === null) return;
    rowOf[s] = numbers.length / cellFields;
    for (const { low, high, sigma, unsteady, alt } of cells) numbers.push(low, high, sigma, unsteady, alt);
  });
  return { channel, healthy: looker.healthy, rowOf, cells: Float32Array.from(numbers) };
}
