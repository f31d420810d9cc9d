import { faultText } from '../../guide/circuit/faults.ts';
import { faultWeight } from '../../guide/circuit/link-kinds.ts';
import type { Fault, Guide, Link } from '../../guide/types.ts';
import type { IsolationRules } from '../rules/isolation-rules.ts';
import { currentIsolationRules } from '../rules/rules.ts';
import type { DecisionOption, Suspect } from '../types.ts';
import { type FaultCell, faultCells } from './fault-cells.ts';
import { type Cause, unknownCauses } from './unknown-causes.ts';

/** Id of the suspect, and of the decision, that nothing is wrong. */
export const nothingWrong = 'none';
/** Id of the decision for what no fault of the guide stands for. */
export const notInGuide = 'unknown';

/**
 * A single-fault suspect with the cells that its unknown ohms are cut into; the first of a model is
 * `none`.
 */
export interface CellSuspect extends Suspect {
  /** Index of its link in the guide; -1 of `none` and of what the guide doesn't know. */
  link: number;
  /** What it stands for where the guide has no fault for it. */
  cause?: Cause;
  cells: FaultCell[];
}

/**
 * Returns the suspects of a guide, `none` first, then link by link in the guide's order, then what
 * the guide doesn't know; priors sum to 1.
 */
export function listSuspects(guide: Guide, rules: IsolationRules = currentIsolationRules): CellSuspect[] {
  const shared = new Map<string, FaultCell[]>();
  const found: CellSuspect[] = guide.links.flatMap((link, at) =>
    rules.suspects.modes.flatMap((mode) => {
      const weight = faultWeight(link, mode);
      if (!(weight > 0)) return [];
      const cells = sharedCells(shared, faultCells(link, mode, rules.suspects));
      const faults: Fault[] =
        mode === 'short' ? shortsOf(link).map((node) => ({ link: link.id, mode, node })) : [{ link: link.id, mode }];
      return faults.map((fault) => ({
        id: faultText(fault),
        faults: [fault],
        decision: decisionOf(guide, link),
        prior: weight / faults.length,
        link: at,
        cells,
      }));
    }),
  );
  const total = found.reduce((sum, one) => sum + one.prior, 0);
  // links without a weight say nothing of faults: what is wrong is none of the guide
  const isWeightless = total === 0 && guide.links.length > 0;
  const share = isWeightless ? Math.ceil(rules.unknown.share) : total > 0 ? rules.unknown.share : 0;
  const healthy = total > 0 || share > 0 ? guide.healthy : 1;
  const unknownShare = (1 - healthy) * share;
  for (const one of found) one.prior = ((1 - healthy - unknownShare) * one.prior) / total;
  const unknown = (unknownShare > 0 ? unknownCauses(guide, rules.unknown) : []).map(
    ({ id, cause, cells, share }): CellSuspect => ({
      id,
      faults: [],
      decision: notInGuide,
      prior: unknownShare * share,
      link: -1,
      cause,
      cells,
    }),
  );
  const none: CellSuspect = {
    id: nothingWrong,
    faults: [],
    decision: nothingWrong,
    prior: healthy,
    link: -1,
    cells: [{ ohm: null, weight: 1 }],
  };
  return [none, ...found, ...unknown];
}

/** Links whose unknown ohms are cut alike share their cells: most of a guide do. */
function sharedCells(shared: Map<string, FaultCell[]>, cells: FaultCell[]): FaultCell[] {
  const key = cells.map(({ ohm }) => (ohm === null ? '' : `${ohm.normal.lowOhm} ${ohm.dry.lowOhm} ${ohm.dry.highOhm}`));
  const known = shared.get(key.join());
  if (known !== undefined) return known;
  shared.set(key.join(), cells);
  return cells;
}

/**
 * Returns the id of the decision that a fault of a link asks for: its unit, or the two units whose
 * interface it is.
 */
export function decisionOf(guide: Guide, link: Link): string {
  if (link.unit !== null) return link.unit;
  const order = guide.units.map((unit) => unit.id);
  return [...(link.between ?? [])].sort((a, b) => order.indexOf(a) - order.indexOf(b)).join('|');
}

/** Returns a decision by its id, with its name in words. */
export function decisionOption(guide: Guide, id: string): DecisionOption {
  if (id === nothingWrong) return { id, name: 'nothing is wrong', units: [] };
  if (id === notInGuide) return { id, name: 'something that this guide does not know', units: [] };
  const parts = id.split(' + ').map((part) => part.split('|'));
  const nameOf = (unit: string): string => guide.units.find((one) => one.id === unit)?.name ?? unit;
  const names = parts.map((units) =>
    units.length === 1 ? nameOf(units[0]!) : `contact between ${units.map(nameOf).join(' and ')}`,
  );
  return { id, name: names.join(', and '), units: [...new Set(parts.flat())] };
}

/** Returns the decision that two faults ask for: one of the two where they ask for the same. */
export function joinDecisions(a: string, b: string): string {
  return a === b ? a : [a, b].sort().join(' + ');
}

/** The nodes that a short of a link may go to; to where the link begins is no short. */
function shortsOf(link: Link): string[] {
  return [...new Set(link.near)].filter((node) => node !== link.from);
}
