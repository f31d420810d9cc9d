import { solveCircuit } from '../guide/circuit/circuit.ts';
import { openOhm } from '../guide/circuit/faults.ts';
import { linkKinds } from '../guide/circuit/link-kinds.ts';
import type { Guide } from '../guide/types.ts';
import { fitLinks, type LinkFit, predictedOhm, type ReadTouch } from './fit-links.ts';
import { touchState } from './touch-state.ts';

/** Why no guide is written of a sitting: a code, what it is about, and one sentence. */
export interface Doubt {
  code: 'learn.opens' | 'learn.joins' | 'learn.touch' | 'learn.fit' | 'learn.high' | 'learn.film' | 'learn.unsteady';
  /** SittingTouch or link ids. */
  about: string[];
  what: string;
  help: string;
}

/** Chi-square per degree of freedom above which table and readings do not belong together. */
const mostMisfit = 2;
/** A residual of this size is looked at by itself. */
const largeResidual = 4;

/**
 * Returns what speaks against writing a guide: a path that reads open, lines that are joined where
 * the table says they are apart, touches that do not fit, and links above what healthy ones of
 * their kind have.
 */
export function doubtsOf(guide: Guide, read: readonly ReadTouch[], fit: LinkFit | null): Doubt[] {
  const doubts = [...openDoubts(guide, read), ...joinedDoubts(guide, read), ...failedDoubts(read)];
  if (fit === null) {
    return [...doubts, { code: 'learn.fit', about: [], what: 'the readings settle on no values', help: checkTable }];
  }
  const misfit = misfitDoubt(guide, read, fit);
  if (misfit !== null) doubts.push(misfit);
  return [...doubts, ...highDoubts(guide, fit)];
}

const checkTable = 'look at the table: a pad in the wrong cell, a key at the wrong place';

/** Paths that read open. What all of them and no closed path have is suspected. */
function openDoubts(guide: Guide, read: readonly ReadTouch[]): Doubt[] {
  const open = read.filter(({ touch, isOpen }) => isOpen && predictedOhm(guide, touch) < openOhm);
  if (open.length === 0) return [];
  const onPath = ({ touch }: ReadTouch): string[] => {
    const circuit = solveCircuit(guide, touchState(touch));
    return circuit.shares(...touch.pads).flatMap(({ link, share }) => (share > 1e-9 ? [link] : []));
  };
  const closed = new Set(read.filter(({ isOpen, touch }) => !isOpen && touch.what !== 'volt').flatMap(onPath));
  const paths = open.map(onPath);
  const common = guide.links.map(({ id }) => id).filter((id) => paths.every((path) => path.includes(id)));
  const suspects = common.filter((id) => !closed.has(id));
  const named = suspects.length > 0 ? suspects : common;
  const where = open.map(({ touch }) => touch.pads.join(' to ')).join(', ');
  return [
    {
      code: 'learn.opens',
      about: named,
      what: `${where} ${open.length === 1 ? 'reads' : 'read'} open${named.length === 0 ? '' : `: ${named.join(' or ')}`}`,
      help: 'this unit is not good there, the key was not held, or the table is wrong',
    },
  ];
}

/** Lines that are joined where the table has nothing between them. */
function joinedDoubts(guide: Guide, read: readonly ReadTouch[]): Doubt[] {
  return read
    .filter(({ touch, isOpen }) => !isOpen && touch.what !== 'volt' && predictedOhm(guide, touch) >= openOhm)
    .map(({ id, touch, ohm }) => ({
      code: 'learn.joins',
      about: [id],
      what: `${touch.pads.join(' and ')} are joined by ${Number(ohm.toPrecision(3))} ohm, and the table has them apart`,
      help: 'look at the cells of both lines, at keys that are closed at rest, and for a short in this unit',
    }));
}

/** A film, or a path that comes and goes: single ohms show neither. */
function failedDoubts(read: readonly ReadTouch[]): Doubt[] {
  return read
    .filter(({ touch, hasFailed }) => hasFailed && (touch.what === 'film' || touch.what === 'steady'))
    .map(({ id, touch }) => ({
      code: touch.what === 'film' ? ('learn.film' as const) : ('learn.unsteady' as const),
      about: [id],
      what: `${touch.pads.join(' to ')} with the key held ${touch.what === 'film' ? 'has a film on a contact' : 'comes and goes'}`,
      help: 'this unit is not good: mend it first, or take another',
    }));
}

/** One touch too many is found by leaving each out, and not by its residual. */
function misfitDoubt(guide: Guide, read: readonly ReadTouch[], fit: LinkFit): Doubt | null {
  const isMisfit = ({ chiSquare, dof, residuals }: LinkFit): boolean =>
    (dof > 0.5 && chiSquare / dof > mostMisfit && chiSquare > 6) ||
    [...residuals.values()].some((one) => Math.abs(one) > largeResidual);
  if (!isMisfit(fit)) return null;
  let best: { id: string; fit: LinkFit } | null = null;
  for (const id of fit.residuals.keys()) {
    const without = fitLinks(
      guide,
      read.filter((one) => one.id !== id),
    );
    if (without !== null && (best === null || without.chiSquare < best.fit.chiSquare)) best = { id, fit: without };
  }
  if (best !== null && !isMisfit(best.fit)) {
    const { touch } = read.find(({ id }) => id === best.id)!;
    const what = `the touch ${touch.pads.join(' to ')} does not fit what the others say`;
    return { code: 'learn.touch', about: [best.id], what, help: 'touch it again: was a tip on another pad?' };
  }
  const what = `readings and table do not belong together (chi-square ${fit.chiSquare.toFixed(1)} for ${fit.dof.toFixed(1)})`;
  return { code: 'learn.fit', about: [], what, help: checkTable };
}

function highDoubts(guide: Guide, fit: LinkFit): Doubt[] {
  return fit.links.flatMap(({ id, ohm, sd, isSeen }): Doubt[] => {
    const { kind } = guide.links.find((link) => link.id === id)!;
    const { usual, text } = linkKinds[kind];
    if (usual.max === null || !isSeen || ohm * Math.exp(-2 * sd) <= usual.max) return [];
    const what = `${id} has ${Number(ohm.toPrecision(3))} ohm: more than a healthy ${text} (${usual.max} ohm)`;
    return [
      { code: 'learn.high', about: [id], what, help: 'take another unit, or say the kind of this link in the table' },
    ];
  });
}
