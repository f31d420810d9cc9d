import type { RecordLine } from '../record/chain/parse-record.ts';
import type { Say } from './finding.ts';
import type { Departure } from './verify-report.ts';

/**
 * Adds where attempts and conclusions don't fit the repairs and attempts before them: a phase that
 * is not so, evidence that is not there.
 */
export function verifyFlow(lines: RecordLine[], departures: Departure[]): void {
  const attempts = new Set<number>();
  let repairs = 0;
  for (const { line, entry } of lines) {
    const say: Say = (code, what, compared) => {
      departures.push({ n: entry.n, line, code, what, ...compared });
    };
    if ('attempt' in entry) {
      attempts.add(entry.n);
      const due = repairs === 0 ? 'before' : 'after';
      if (entry.phase !== due)
        say('flow.phase', `${entry.check} stands as ${entry.phase} a repair, but comes ${due} it`, {
          stands: entry.phase,
          due,
        });
    }
    if (entry.kind === 'repair') repairs += 1;
    if (entry.kind === 'addendum' && entry.what === 'returned') repairs = 0;
    if (entry.kind === 'concluded') {
      const missing = entry.evidence.filter((n) => !attempts.has(n));
      if (missing.length > 0)
        say('flow.evidence', `it rests on entries that are no attempts before it: ${missing.join(', ')}`);
    }
  }
}
