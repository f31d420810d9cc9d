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
  /**
   * For each suspect, where its cells begin in `sightOf`, suspects that look alike at the same
   * place; -1: as healthy.
   */
  rowOf: Int32Array;
  /** For each cell of these rows the number of its sight. */
  sightOf: Int32Array;
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
  { seen, mute, any }: Marks,
): Sights {
  const width = channels.length + 1;
  const distinct = new DistinctRows(width);
  const row = new Int32Array(width);
  const concerned: number[] = [];
  const rowOf = new Int32Array(suspects.length).fill(-1);
  const sightOf: number[] = [];
  // who begins at the same place of each channel, and has the same mark, looks alike
  const likes = new DistinctRows(width + 1);
  const like = new Int32Array(width + 1);
  const starts: number[] = [];
  for (let s = 0; s < suspects.length; s++) {
    const mark = (seen.has(s) ? seenMark : 0) + (mute.has(s) ? muteMark : 0) + (s === any ? anyMark : 0);
    let isConcerned = mark !== 0;
    for (let k = 0; k < channels.length; k++) {
      like[k] = channels[k]!.rowOf[s]!;
      isConcerned ||= like[k] !== -1;
    }
    if (!isConcerned) continue;
    concerned.push(s);
    const { length } = suspects[s]!.cells;
    like[width - 1] = mark;
    like[width] = length;
    const number = likes.add(like, 0);
    if (number < starts.length) {
      rowOf[s] = starts[number]!;
      continue;
    }
    starts.push(sightOf.length);
    rowOf[s] = sightOf.length;
    row[width - 1] = mark;
    for (let c = 0; c < length; c++) {
      for (let k = 0; k < channels.length; k++) {
        row[k] = like[k] === -1 ? -1 : channels[k]!.kindOf[like[k]! + c]!;
      }
      sightOf.push(distinct.add(row, 0));
    }
  }
  const rows = distinct.rows();
  return {
    concerned: Int32Array.from(concerned),
    rowOf,
    sightOf: Int32Array.from(sightOf),
    count: rows.length / width,
    rows,
  };
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
