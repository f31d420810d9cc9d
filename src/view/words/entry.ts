import { serialText } from '../../protocol/probe-serial.ts';
import type { Entry, EntryOf } from '../../record/entries/entries.ts';
import { checkKindOf, isAttempt } from '../../record/kinds/stored-kinds.ts';
import type { JobState } from '../../record/state/job-state.ts';
import { kindWordsOf } from '../kinds/registry.ts';
import { conclusionWords } from './conclusion.ts';
import { bracketed } from './mark.ts';
import { outcomeText, whyText } from './outcome.ts';
import { resultWords } from './result.ts';

/**
 * Returns one plain line for an entry of a record, or null for entries that say nothing to a
 * reader. `isRepaired`: a repair stands before it in the record.
 */
export function entryLine(entry: Entry, isRepaired = false): string | null {
  if (isAttempt(entry))
    return `${outcomeText(entry.outcome)} ${kindWordsOf({ kind: checkKindOf(entry) }).recorded(entry)}`;
  switch (entry.kind) {
    case 'opened':
      return `job ${entry.job} opened: ${entry.device.maker} ${entry.device.name}, revision ${entry.device.revision}, guide ${entry.guide.id}${revisionText(entry.revision)}`;
    case 'caution':
      return `caution ${entry.id} acknowledged (${entry.by})`;
    case 'probe':
      return `probe ${serialText(entry.identity.probeSerial)}, firmware ${entry.identity.fwMajor}.${entry.identity.fwMinor}, ${entry.path}; ${entry.calibrationState}`;
    case 'proof':
      return `${outcomeText(entry.outcome)} ${entry.when} proof, ${entry.what}: ${whyText(entry.why)}`;
    case 'skipped':
      return `skipped ${entry.check}: ${entry.reason} (${entry.by})`;
    case 'repeat':
      return `repeat of ${entry.check} (${entry.by})`;
    case 'live':
      return `${bracketed('live')} voltage on the tips ${entry.where} the measurement: excitation off`;
    case 'gap':
      return `gap in the readings: ${entry.text}`;
    case 'power':
      return `device switched ${entry.to}`;
    case 'concluded':
      return `concluded: ${conclusionWords(entry, isRepaired).short}${doubtText(entry)}`;
    case 'repair':
      return `${entry.what === 'swap' ? 'swapped' : 'repair done'}: ${entry.text} (${entry.by})`;
    case 'note':
      return `note: ${entry.text}`;
    case 'photo':
      return `photo at ${entry.check}${entry.shows === '' ? '' : `: ${entry.shows}`} (${entry.by})`;
    case 'resumed':
      return 'job resumed';
    case 'recovered':
      return `recovered: ${entry.bytes} bytes of an unfinished entry set aside in ${entry.file ?? 'no file'} (${entry.why})`;
    case 'closed':
      return `job closed: ${resultWords[entry.result].word} (${entry.why}); proofs ${entry.proofs}`;
    case 'signed':
      return `signed by the bench with key ${entry.publicKey}`;
    case 'addendum':
      return `added to, ${addendumWords[entry.what]}: ${entry.why}`;
    case 'customer':
      return `customer's ${Object.keys(entry.commitments).join(' and ')} kept apart`;
    default:
      return null;
  }
}

/** Said of an addendum that was given up before anything was done: it leaves the result as it was. */
export const abandonedAddendum =
  'What was added last was given up before anything was done: the result is the one before it.';

/** Whether the latest addendum was given up before anything was done. */
export function isAddendumAbandoned({ closed, resultBefore }: Pick<JobState, 'closed' | 'resultBefore'>): boolean {
  return closed?.result === 'abandoned' && resultBefore !== null;
}

/** How a closed job came to be added to. */
export const addendumWords = {
  continued: 'the device stayed on the bench',
  returned: 'the device came back',
} as const;

function doubtText({ doubt }: EntryOf<'concluded'>): string {
  return doubt === null ? '' : ` - in doubt: ${doubt}`;
}

function revisionText(revision: { holds: boolean; reason?: string; override?: string }): string {
  if (revision.holds) return '';
  return ` - the guide does not hold for it (${revision.reason ?? 'not listed'}); overridden: ${revision.override ?? ''}`;
}
