import { formatQuantity } from '../../measure/reading/format.ts';
import { serialText } from '../../protocol/probe-serial.ts';
import type { Entry, EntryOf } from '../../record/entries/entries.ts';
import { type ByKind, isAttempt, ofKind, type StoredOf } from '../../record/kinds/stored-kinds.ts';
import { conclusionWords } from './conclusion.ts';
import { bracketed } from './mark.ts';
import { outcomeText, whyText } from './outcome.ts';
import { resultWords } from './result.ts';

const measuredText = (entry: StoredOf<'resistance' | 'dry-normal'>): string =>
  `${attempted(entry)}: ${whyText(entry.why)}`;

/** What an attempt says behind its outcome, for each kind of check. */
const attemptText: ByKind<string> = {
  resistance: measuredText,
  voltage: measuredText,
  look: ({ check, question, answer, by }) => `${check}: ${question} ${answer} (${by})`,
  presses: (entry) =>
    `${attempted(entry)}: ${entry.presses.filter((p) => !p.missed).length} closures of ${entry.count} presses - ${whyText(entry.why)}`,
  bridge: (entry) => `${attempted(entry)}: ${whyText(entry.why)}${answeredText(entry)}`,
  'dry-normal': measuredText,
  steady: (entry) => `${attempted(entry)}: ${whyText(entry.why)}${heldText(entry)}`,
};

/**
 * Returns one plain line for an entry of a record, or null for entries that say nothing to a
 * reader. `isRepaired`: a repair stands before it in the record.
 */
export function entryLine(entry: Entry, isRepaired = false): string | null {
  if (isAttempt(entry)) return `${outcomeText(entry.outcome)} ${ofKind(attemptText, entry)}`;
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

/** How a closed job came to be added to. */
export const addendumWords = {
  continued: 'the device stayed on the bench',
  returned: 'the device came back',
} as const;

/** The check, and which attempt it was when it was not the first. */
function attempted({ check, attempt }: { check: string; attempt: number }): string {
  return attempt === 1 ? check : `${check}, attempt ${attempt}`;
}

function doubtText({ doubt }: EntryOf<'concluded'>): string {
  return doubt === null ? '' : ` - in doubt: ${doubt}`;
}

/** The question and its answer, and who gave it; a light sensor answers without being asked. */
function answeredText({ question, answer, by }: EntryOf<'bridge'>): string {
  if (answer === null || by === null) return '';
  return by === 'light' ? ' (seen by the light sensor)' : ` (${question} ${answer}, ${by})`;
}

function heldText({ hold, span }: EntryOf<'steady'>): string {
  if (hold === null) return '';
  const seconds = (hold.heldUs / 1e6).toFixed(1);
  if (span === null) return ` (held for ${seconds} s)`;
  const from = formatQuantity(span.minOhm, 'resistance');
  return ` (held for ${seconds} s, ${from} to ${formatQuantity(span.maxOhm, 'resistance')})`;
}

function revisionText(revision: { holds: boolean; reason?: string; override?: string }): string {
  if (revision.holds) return '';
  return ` - the guide does not hold for it (${revision.reason ?? 'not listed'}); overridden: ${revision.override ?? ''}`;
}
