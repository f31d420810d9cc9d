import { extentOf, isTooMuchLost } from '../../measure/judge/lost-readings.ts';
import type { Entry, EntryOf, StoredCapture } from '../../record/entries/entries.ts';
import type { Say } from '../finding.ts';

/**
 * Tells where an outcome was decided although too many readings of its touch were lost: as the gaps
 * on record before it tell, of which only those that lie within the touch count.
 */
export function verifyLost(entry: Entry, gaps: readonly EntryOf<'gap'>[], say: Say): void {
  if (!('outcome' in entry) || (entry.outcome !== 'pass' && entry.outcome !== 'fail')) return;
  for (const capture of touchesIn(entry)) {
    const lost = lostWithin(capture, gaps);
    if (!isTooMuchLost(lost, capture.contact.touchUs, capture.window.periodUs)) continue;
    say('evidence.lost', `${lost} readings of its touch were lost, and it says ${entry.outcome} all the same`);
    return;
  }
  if (entry.kind === 'presses') verifyRunLost(entry, gaps, say);
}

function verifyRunLost(run: EntryOf<'presses'>, gaps: readonly EntryOf<'gap'>[], say: Say): void {
  const extent = extentOf(run.presses.flatMap(({ window }) => window ?? []));
  if (extent === null) return;
  const { fromUs, untilUs, periodUs } = extent;
  const lost = lostBetween(fromUs, untilUs, gaps);
  if (isTooMuchLost(lost, untilUs - fromUs, periodUs))
    say('evidence.lost', `${lost} readings of its presses were lost, and it says ${run.outcome} all the same`);
}

type Touch = Pick<StoredCapture, 'window' | 'contact'>;

/** Touches that decide by what they read once settled; the other kinds meet gaps in their own way. */
function touchesIn(entry: Entry): Touch[] {
  if (entry.kind === 'capture' || entry.kind === 'proof') return entry.capture === null ? [] : [entry.capture];
  if (entry.kind === 'bridge') return entry.idle === null ? [] : [entry.idle];
  return entry.kind === 'levels' ? [entry.dry, entry.normal].flatMap((level) => level?.capture ?? []) : [];
}

function lostWithin({ window, contact }: Touch, gaps: readonly EntryOf<'gap'>[]): number {
  const untilUs = window.tUs + window.codes.length * window.periodUs;
  const fromUs = untilUs - contact.touchUs;
  return lostBetween(fromUs, untilUs, gaps);
}

function lostBetween(fromUs: number, untilUs: number, gaps: readonly EntryOf<'gap'>[]): number {
  const within = gaps.filter((gap) => (gap.fromUs ?? -1) >= fromUs && (gap.toUs ?? Infinity) <= untilUs);
  return within.reduce((sum, { missing }) => sum + (missing ?? Infinity), 0);
}
