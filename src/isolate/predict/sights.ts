import type { Seen } from '../belief/seen.ts';
import type { ChannelCell } from '../suspects/scale.ts';
import type { CellSuspect } from '../suspects/suspects.ts';
import { type ChannelTable, cellFields } from './channel-table.ts';
import { DistinctRows } from './distinct-rows.ts';

/** Who a check sees by more than its channels. */
export interface Marks {
  /** Suspects that eyes see at this check, by index; of a look check only. */
  seen: Set<number>;
  /** Suspects under which the input of a bridge never answers. */
  mute: Set<number>;
  /** The suspect that may show in any check; -1: there is none. */
  any: number;
}

/**
 * What a check sees under all cells of all suspects: each distinct sight once, for most suspects
 * look alike to it.
 */
export interface Sights {
  /**
   * Suspects under which the check may come out otherwise than on a healthy device, in their order.
   */
  concerned: Int32Array;
  /** For each suspect, where its cells begin in `sightOf`; -1: as healthy. */
  rowOf: Int32Array;
  /** For each cell of the concerned suspects the number of its sight. */
  sightOf: Int32Array;
  /** The numbers of these cells in the model. */
  cells: Int32Array;
  /** How many distinct sights there are. */
  count: number;
  /**
   * Of each sight, for each channel the number of its cell there (-1: the healthy one), and then a
   * mark.
   */
  rows: Int32Array;
}

const [seenMark, muteMark, anyMark] = [1, 2, 4];

/** Returns the sights of a check. */
export function sightsOf(
  channels: readonly ChannelTable[],
  suspects: readonly CellSuspect[],
  cellStart: Int32Array,
  { seen, mute, any }: Marks,
): Sights {
  const concerned: number[] = [];
  const rowOf = new Int32Array(suspects.length).fill(-1);
  let count = 0;
  for (let s = 0; s < suspects.length; s++) {
    if (s !== any && !seen.has(s) && !mute.has(s) && !channels.some((channel) => channel.rowOf[s] !== -1)) continue;
    rowOf[s] = count;
    concerned.push(s);
    count += suspects[s]!.cells.length;
  }
  const width = channels.length + 1;
  const distinct = new DistinctRows(width);
  const row = new Int32Array(width);
  // of one channel alone a cell is a sight
  const only = channels.length === 1 ? channels[0]! : null;
  const sightOfKind = new Int32Array(only === null ? 0 : only.cells.length / cellFields).fill(-1);
  const sightOf = new Int32Array(count);
  const cells = new Int32Array(count);
  let at = 0;
  for (const s of concerned) {
    row[width - 1] = (seen.has(s) ? seenMark : 0) + (mute.has(s) ? muteMark : 0) + (s === any ? anyMark : 0);
    const unmarked = row[width - 1] === 0 ? only : null;
    for (let c = 0; c < suspects[s]!.cells.length; c++) {
      cells[at] = cellStart[s]! + c;
      if (unmarked !== null) {
        const kind = unmarked.kindOf[unmarked.rowOf[s]! + c]!;
        if (sightOfKind[kind] === -1) {
          row[0] = kind;
          sightOfKind[kind] = distinct.add(row, 0);
        }
        sightOf[at++] = sightOfKind[kind]!;
        continue;
      }
      for (let k = 0; k < channels.length; k++) {
        const start = channels[k]!.rowOf[s]!;
        row[k] = start === -1 ? -1 : channels[k]!.kindOf[start + c]!;
      }
      sightOf[at++] = distinct.add(row, 0);
    }
  }
  const rows = distinct.rows();
  return { concerned: Int32Array.from(concerned), rowOf, sightOf, cells, count: rows.length / width, rows };
}

/**
 * Calls back with each distinct sight of a check and its number; what is handed over holds until
 * the next one.
 */
export function eachSight(
  channels: readonly ChannelTable[],
  { rows, count }: Sights,
  take: (seen: Seen, sight: number) => void,
): void {
  const width = channels.length + 1;
  const cells = channels.map(blankCell);
  for (let sight = 0; sight < count; sight++) {
    const at = sight * width;
    channels.forEach((channel, k) => {
      putKind(channel, rows[at + k]!, cells[k]!);
    });
    const mark = rows[at + width - 1]!;
    const [isSeen, isMute, isAny] = [seenMark, muteMark, anyMark].map((one) => (mark & one) !== 0);
    take({ cells, isSeen: isSeen!, isMute: isMute!, isAny: isAny! }, sight);
  }
}

/**
 * Reads what a channel sees under one cell of a suspect into `into`: the healthy cell where the
 * suspect makes no difference.
 */
export function readCell(channel: ChannelTable, suspect: number, cell: number, into: ChannelCell): void {
  const row = channel.rowOf[suspect]!;
  putKind(channel, row === -1 ? -1 : channel.kindOf[row + cell]!, into);
}

/** Returns a cell to read into. */
export function blankCell(): ChannelCell {
  return { low: 0, high: 0, sigma: 1, unsteady: 0, alt: Number.NaN };
}

function putKind({ healthy, cells }: ChannelTable, kind: number, into: ChannelCell): void {
  if (kind === -1) {
    Object.assign(into, healthy);
    return;
  }
  const at = kind * cellFields;
  into.low = cells[at]!;
  into.high = cells[at + 1]!;
  into.sigma = cells[at + 2]!;
  into.unsteady = cells[at + 3]!;
  into.alt = cells[at + 4]!;
}
