import { isTooMuchLost } from '../../measure/judge/lost-readings.ts';
import type { Entry, EntryOf, StoredCapture } from '../../record/entries/entries.ts';
import type { Say } from '../finding.ts';

/**
 * Tells where an outcome was decided although too many readings of its touch were lost: as the gaps
 * on record before it tell, of which only those that lie within the touch count.
 */
export function verifyLost(entry: Entry, gaps: readonly EntryOf<'gap'>[], say: Say): void {
  if (entry.kind !== 'capture' && entry.kind !== 'proof') return;
  if (entry.capture === null || (entry.outcome !== 'pass' && entry.outcome !== 'fail')) return;
  const { window, contact } = entry.capture;
  const lost = lostWithin(entry.capture, gaps);
  if (isTooMuchLost(lost, contact.touchUs, window.periodUs))
    say('evidence.lost', `${lost} readings of its touch were lost, and it says ${entry.outcome} all the same`);
}

function lostWithin({ window, contact }: StoredCapture, gaps: readonly EntryOf<'gap'>[]): number {
  const untilUs = window.tUs + window.codes.length * window.periodUs;
  const fromUs = untilUs - contact.touchUs;
  const within = gaps.filter((gap) => (gap.fromUs ?? -1) >= fromUs && (gap.toUs ?? Infinity) <= untilUs);
  return within.reduce((sum, { missing }) => sum + (missing ?? 0), 0);
}
