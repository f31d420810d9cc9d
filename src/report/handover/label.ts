import { renderSVG } from 'uqr';
import wrapAnsi from 'wrap-ansi';
import type { LocalClock } from '../../ports/local-clock.ts';
import type { JobState } from '../../record/state/job-state.ts';
import { labelCodeText } from '../../verify/label-code.ts';
import { clockTime } from '../../view/text/clock-time.ts';
import { answerLines } from '../../view/words/conclusion.ts';
import { resultWords } from '../../view/words/result.ts';

/** What a label is made from. */
export interface LabelSource {
  state: JobState;
  /** SHA-256 of the record's last entry. */
  digest: string;
  /** Whether `verify` finds nothing amiss; a label of a record that departs claims nothing. */
  verifies: boolean;
  /** Whose times it tells; absent: UTC, as the record has them. */
  clock?: LocalClock;
}

/** Columns of the printers that are about: 58 mm and 80 mm paper. Common practice, no source. */
export const labelWidths = [32, 48] as const;
export type LabelWidth = (typeof labelWidths)[number];

/**
 * Returns the label for the bag as lines of at most `width` characters, ASCII only: any ticket
 * printer takes it.
 */
export function labelText({ state, digest, verifies, clock }: LabelSource, width: LabelWidth): string {
  const { opened, repairs, counts, result, closed, signed } = state;
  const device =
    opened === null ? [] : [`${opened.device.maker} ${opened.device.name}`, `revision ${opened.device.revision}`];
  const rule = '-'.repeat(width);
  const lines = [
    ...wrapped(`JOB ${state.job ?? ''}`, width),
    ...(opened?.ticket === undefined ? [] : wrapped(`Ticket ${opened.ticket}`, width)),
    ...device.flatMap((text) => wrapped(text, width)),
    ...(opened?.device.serial === undefined ? [] : wrapped(`Serial ${opened.device.serial}`, width)),
    rule,
    ...(verifies
      ? [
          ...wrapped((closed === null ? 'open' : resultWords[result].word).toUpperCase(), width),
          ...answerLines(state).flatMap((text) => wrapped(text, width)),
          ...wrapped(`${counts.passed} passed, ${counts.failed} failed of ${counts.checks}`, width),
        ]
      : wrapped('RECORD DOES NOT VERIFY - DO NOT RELY ON IT', width)),
    ...repairs.flatMap(({ text }) => wrapped(`+ ${text}`, width)),
    rule,
    ...wrapped(
      `${clockTime(closed?.at ?? state.lastAt ?? '', clock)}${signed === null || !verifies ? '' : ', signed'}`,
      width,
    ),
    ...wrapped(digest.replace(/.{8}(?=.)/g, '$& '), width),
  ];
  return `${lines.join('\n')}\n`;
}

/**
 * Returns what the label's code says: job, result, digest and count of entries, words that a person
 * can read too.
 */
export function labelCode({ state, digest, verifies }: LabelSource): string {
  const result = verifies ? (state.closed === null ? 'open' : state.result) : 'unverified';
  return labelCodeText({ job: state.job ?? '', sha256: digest, entries: state.entries }, result);
}

/**
 * Returns the label's code as a QR code (ISO/IEC 18004), an SVG text with its quiet zone of four
 * modules.
 */
export function labelSvg(source: LabelSource): string {
  return renderSVG(labelCode(source), { border: 4, ecc: 'M' });
}

/** A word longer than the paper is cut. */
function wrapped(text: string, width: number): string[] {
  const told = plain(text);
  return told === '' ? [] : wrapAnsi(told, width, { hard: true }).split('\n');
}

/** Letters lose their accents, what is left beyond ASCII becomes a question mark. */
function plain(text: string): string {
  return text
    .normalize('NFKD')
    .replace(/\p{Mn}/gu, '')
    .replace(/\s+/g, ' ')
    .replace(/[^\x20-\x7e]/g, '?')
    .trim();
}
