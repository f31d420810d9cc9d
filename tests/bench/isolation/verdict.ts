import type { Guide } from '../../../src/guide/types.ts';
import { isPart } from './decisions.ts';
import type { Specimen } from './specimen.ts';

/** What a job came to, as far as a figure needs it. Of a record's entry or of a conclusion on paper. */
export interface Outcome {
  /** `fault`: one decision is convicted. `group`: several are named. `none`: nothing is wrong. Others: the guide doesn't explain it, or it was left. */
  kind: string;
  decisions: readonly { id: string; p: number }[];
  /** The first repair of the plan, an id. */
  first: string | null;
  /** The conclusion says that there may be more than what it names. */
  isAtLeast: boolean;
}

/** What became of one device, as plain data. */
export interface Verdict {
  readonly guide: string;
  /** What is wrong with it. */
  readonly what: string;
  readonly kind: string;
  readonly named: string;
  /** Something is named as faulty: convicted, or a group without 'nothing is wrong' in it. */
  readonly accuses: boolean;
  /** One decision is convicted, and it is not right, or not all of it. */
  readonly convictsWrongly: boolean;
  /** All that is wrong is named: alone, or in a group that no check of the guide tells apart. */
  readonly isRight: boolean;
  readonly isAlone: boolean;
  /** It is convicted, and the conclusion says that there may be more. */
  readonly isAtLeast: boolean;
  /** A device with several faults is said to be sound, or one part of it, or another, is named as the whole. */
  readonly isPartial: boolean;
  /** The first repair of a conviction buys a part that mends nothing of it. */
  readonly buysWrong: boolean;
}

/** Returns what an outcome is worth for a device. */
export function verdictOf(specimen: Specimen, { kind, decisions, first, isAtLeast }: Outcome): Verdict {
  const { guide, right, what, faults } = specimen;
  const ids = decisions.map(({ id }) => id);
  const parts = (ids[0] ?? '').split(' + ');
  const isConviction = kind === 'fault';
  const isSound = right.length === 0;
  const hasAll = faults.length < 2 ? right.includes(parts[0]!) : right.every((one) => parts.includes(one));
  return {
    guide: guide.id,
    what,
    kind,
    named: decisions.map(({ id, p }) => `${id} ${p.toFixed(3)}`).join(', '),
    accuses: isConviction || (kind === 'group' && !ids.includes('none')),
    convictsWrongly: isConviction && !parts.every((one) => right.includes(one)),
    isRight: isConviction
      ? hasAll && parts.every((one) => right.includes(one))
      : kind === 'none'
        ? isSound
        : right.every((one) => ids.some((id) => id.split(' + ').includes(one))),
    isAlone: isConviction,
    isAtLeast: isConviction && isAtLeast,
    isPartial:
      kind === 'none' || (isConviction && !hasAll && !(isAtLeast && parts.every((one) => right.includes(one)))),
    buysWrong: isConviction && first !== null && isWrongPart(guide, specimen, first),
  };
}

function isWrongPart(guide: Guide, { faults, right }: Specimen, first: string): boolean {
  const repair = guide.repairs.find(({ id }) => id === first);
  if (repair === undefined || !isPart(guide, repair)) return false;
  if (faults.length > 0) {
    return !repair.fixes.some(({ link, mode }) =>
      faults.some((one) => one.link === link && (mode === null || mode === one.mode)),
    );
  }
  // what the guide doesn't hold has no repair of its own: a part that holds a place of it is not wrong
  const units = right.flatMap((decision) => decision.split('|'));
  const touched = guide.links.filter(({ id }) => repair.fixes.some(({ link }) => link === id));
  return !touched.some(({ unit, between }) =>
    (unit === null ? (between ?? []) : [unit]).some((one) => units.includes(one)),
  );
}
