import type { RecordLine } from '../record/chain/parse-record.ts';
import type { Say } from './finding.ts';

/**
 * What the code on a label hands over of a record: kept with the device, it shows later that
 * nothing was cut off or exchanged.
 */
export interface LabelHead {
  job: string;
  /**
   * Hash of the last entry, and how many entries there were; null on labels of before the count was
   * printed.
   */
  sha256: string;
  entries: number | null;
}

/** Returns the text of a label's code: words that a person can read too. `result`: one word. */
export function labelCodeText({ job, sha256, entries }: LabelHead, result: string): string {
  return ['ohmwright', job, result, sha256, ...(entries === null ? [] : [entries])].join(' ');
}

/** Returns what a label's code hands over; null when the text is none. */
export function parseLabelCode(text: string): LabelHead | null {
  const [, job, sha256, entries] = /^ohmwright (\S+) \S+ ([0-9a-f]{64})(?: (\d{1,9}))?$/.exec(text.trim()) ?? [];
  if (job === undefined || sha256 === undefined) return null;
  return { job, sha256, entries: entries === undefined ? null : Number(entries) };
}

/**
 * Tells where a record is not the one of a label, or less of it than there was when the label was
 * made.
 */
export function verifyLabel(lines: readonly RecordLine[], label: LabelHead, say: Say): void {
  const entry = lines[0]?.entry;
  const job = entry?.kind === 'opened' ? entry.job : null;
  if (job !== label.job) say('label.job', `the label is of job ${label.job}, the record of ${job ?? 'none'}`);
  const at = lines.find(({ sha256 }) => sha256 === label.sha256);
  if (at === undefined)
    say('label.head', 'the entry that the label names is not in this record: its end was cut off, or it was made anew');
  else if (label.entries !== null && at.line !== label.entries)
    say('label.head', `the label counts ${label.entries} entries up to there, the record ${at.line}`);
}
