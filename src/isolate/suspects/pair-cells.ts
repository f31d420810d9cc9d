import { openOhm } from '../../guide/circuit/faults.ts';
import type { Fault, Level } from '../../guide/types.ts';
import type { Seen } from '../belief/seen.ts';
import type { ChannelTable } from '../predict/channel-table.ts';
import type { CheckTable, Model } from '../predict/model.ts';
import { predictChannel } from '../predict/predict-fast.ts';
import { blankCell, readCell } from '../predict/sights.ts';
import { type ChannelCell, scaleOf } from './scale.ts';
import type { CellSuspect } from './suspects.ts';

/** One cell of one suspect, by numbers. */
export interface CellOf {
  suspect: number;
  cell: number;
}

/**
 * Returns what a check sees with two faults at once, each in one of its cells.
 *
 * A channel that only one of the two matters to is seen as under that one; where both matter the
 * circuit is asked with both in place, at the ends of their cells.
 */
export function pairSeen(model: Model, table: CheckTable, one: CellOf, other: CellOf): Seen {
  const cells = table.channels.map((channel): ChannelCell => {
    const [first, second] = [blankCell(), blankCell()];
    readCell(channel, one.suspect, one.cell, first);
    readCell(channel, other.suspect, other.cell, second);
    if (channel.rowOf[other.suspect] === -1) return first;
    if (channel.rowOf[one.suspect] === -1) return second;
    return together(model, channel, [one, other], first, second);
  });
  return { cells, isSeen: table.seen.has(one.suspect) || table.seen.has(other.suspect) };
}

function together(
  model: Model,
  { channel, healthy }: ChannelTable,
  both: CellOf[],
  first: ChannelCell,
  second: ChannelCell,
): ChannelCell {
  const at = (end: 'lowOhm' | 'highOhm', isBad = false): number => {
    const faults = both.map(({ suspect, cell }) => {
      const known = model.suspects[suspect]!;
      return { fault: faultAt(known, cell, channel.level, end, isBad), link: known.link };
    });
    return scaleOf(channel.quantity, predictChannel(model.circuits, channel, faults));
  };
  const ends = [at('lowOhm'), at('highOhm')].sort((a, b) => a - b) as [number, number];
  const hasAlt = !Number.isNaN(first.alt) || !Number.isNaN(second.alt);
  const isOpen = channel.quantity === 'ohm' && ends[1] >= scaleOf('ohm', openOhm);
  return {
    low: ends[0],
    high: ends[1],
    sigma: isOpen ? healthy.sigma : Math.max(first.sigma, second.sigma),
    unsteady: 1 - (1 - first.unsteady) * (1 - second.unsteady),
    alt: hasAlt ? at('lowOhm', true) : Number.NaN,
  };
}

/**
 * A suspect's fault with the ohms of one end of a cell; a contact that comes and goes is good, or
 * open in its bad moments.
 */
function faultAt(
  { faults, cells }: CellSuspect,
  cell: number,
  level: Level,
  end: 'lowOhm' | 'highOhm',
  isBad: boolean,
): Fault {
  const fault = faults[0]!;
  const span = cells[cell]?.ohm?.[level] ?? null;
  if (fault.mode === 'intermittent') return isBad ? { ...fault, mode: 'open' } : fault;
  if (span === null) return fault;
  const isElement = fault.mode === 'short' || fault.mode === 'leaky';
  return isElement ? { ...fault, ohm: span[end] } : { link: fault.link, mode: 'high', ohm: span[end] };
}
