import type { Evidence } from '../../checks/evidence.ts';
import { type ChannelTable, cellFields } from '../predict/channel-table.ts';
import type { CheckTable, Model } from '../predict/model.ts';
import type { ChannelCell } from '../suspects/scale.ts';
import { chance, likelihood } from './likelihood.ts';

/** What a piece of evidence says: natural logarithms of its likelihood, cell by cell. */
export interface EvidenceEffect {
  /** Of every cell that is not named. */
  healthyLog: number;
  /** Cells of the model that the check sees differently, with theirs. */
  cells: Int32Array;
  logs: Float64Array;
  /** What chance would give. */
  chanceLog: number;
}

/** Effects that are kept; a guide's whole set of attempts fits in many times over. */
const mostKept = 5000;

/** Returns what a piece of evidence says under every cell of a model; the evidence must have been looked at by `evidenceProblem`. */
export function evidenceEffect(model: Model, evidence: Evidence): EvidenceEffect {
  const key = JSON.stringify(evidence);
  const known = model.effects.get(key);
  if (known !== undefined) return known;
  const effect = workOut(model, model.table(evidence.check)!, evidence);
  if (model.effects.size >= mostKept) model.effects.clear();
  model.effects.set(key, effect);
  return effect;
}

function workOut(model: Model, table: CheckTable, evidence: Evidence): EvidenceEffect {
  const { suspects, cellStart } = model;
  const { check, channels } = table;
  const healthy = channels.map((channel) => channel.healthy);
  const logOf = (cells: readonly ChannelCell[], s: number): number => {
    const seen = { cells, isSeen: table.seen.has(s), isMute: table.mute.has(s), isAny: s === table.any };
    return Math.log(Math.max(Number.MIN_VALUE, likelihood(model, check, evidence, seen)));
  };
  const healthyLog = logOf(healthy, 0);
  const cells: number[] = [];
  const logs: number[] = [];
  const read = channels.map((): ChannelCell => ({ low: 0, high: 0, sigma: 1, unsteady: 0, alt: Number.NaN }));
  for (let s = 0; s < suspects.length; s++) {
    if (!isConcerned(table, s)) continue;
    const count = cellStart[s + 1]! - cellStart[s]!;
    for (let c = 0; c < count; c++) {
      channels.forEach((channel, k) => {
        readCell(channel, s, c, read[k]!);
      });
      cells.push(cellStart[s]! + c);
      logs.push(logOf(read, s));
    }
  }
  return {
    healthyLog,
    cells: Int32Array.from(cells),
    logs: Float64Array.from(logs),
    chanceLog: Math.log(chance(model, evidence, check)),
  };
}

/** Returns whether a check may come out otherwise under a suspect than on a healthy device. */
export function isConcerned({ channels, seen, mute, any }: CheckTable, s: number): boolean {
  return s === any || seen.has(s) || mute.has(s) || channels.some((channel) => channel.rowOf[s] !== -1);
}

/** Reads one cell of a suspect into `into`: the healthy one where the suspect makes no difference to the channel. */
export function readCell(channel: ChannelTable, suspect: number, cell: number, into: ChannelCell): void {
  const row = channel.rowOf[suspect]!;
  if (row === -1) {
    Object.assign(into, channel.healthy);
    return;
  }
  const at = (row + cell) * cellFields;
  into.low = channel.cells[at]!;
  into.high = channel.cells[at + 1]!;
  into.sigma = channel.cells[at + 2]!;
  into.unsteady = channel.cells[at + 3]!;
  into.alt = channel.cells[at + 4]!;
}

/** Returns an effect's logarithm at a cell of the model. */
export function logAt({ cells, logs, healthyLog }: EvidenceEffect, cell: number): number {
  let [low, high] = [0, cells.length];
  while (low < high) {
    const middle = (low + high) >> 1;
    if (cells[middle]! < cell) low = middle + 1;
    else high = middle;
  }
  return cells[low] === cell ? logs[low]! : healthyLog;
}
