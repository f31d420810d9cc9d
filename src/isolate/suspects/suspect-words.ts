import { linkKinds } from '../../guide/circuit/link-kinds.ts';
import type { Guide } from '../../guide/types.ts';
import type { Suspect } from '../types.ts';
import { faultWords } from './fault-words.ts';
import { type CellSuspect, decisionOption, nothingWrong, notInGuide } from './suspects.ts';
import type { Cause } from './unknown-causes.ts';

/**
 * Returns a suspect in words: its faults, that nothing is wrong, or what it stands for where the
 * guide has no fault.
 *
 * @param suspects those of the model that the suspect belongs to
 */
export function suspectWords(
  guide: Guide,
  suspects: readonly CellSuspect[],
  { id, faults }: Pick<Suspect, 'id' | 'faults'>,
): string {
  if (faults.length > 0) return faults.map((fault) => faultWords(guide, fault)).join(' with ');
  const cause = suspects.find((one) => one.id === id)?.cause;
  return cause === undefined ? decisionOption(guide, nothingWrong).name : causeWords(guide, cause);
}

function causeWords(guide: Guide, cause: Cause): string {
  switch (cause.kind) {
    case 'any':
      return decisionOption(guide, notInGuide).name;
    case 'short':
      return `a short between ${cause.a} and ${cause.b}`;
    case 'rail':
      return `rail '${cause.rail}' off its value`;
    case 'input':
      return `input '${cause.input}' that never answers`;
    case 'pad':
      return `pad '${cause.pad}' that a tip does not reach the metal of`;
    case 'values':
      return `other ohms than the guide's of every ${cause.of.map((kind) => linkKinds[kind].text).join(', ')}`;
  }
}
