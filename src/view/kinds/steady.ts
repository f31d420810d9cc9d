import { dropOutsOf } from '../../measure/contact/steady-hold.ts';
import { formatQuantity } from '../../measure/reading/format.ts';
import type { StoredOf } from '../../record/kinds/stored-kinds.ts';
import type { TaskRun } from '../../session/job/job-session-state.ts';
import { whyText } from '../words/outcome.ts';
import { attempted, dwellLines, holdStill, type KindWords } from './kind-words.ts';

/** A touch that is held while the device is flexed. */
export const steadyWords: KindWords<'steady'> = {
  stay: (check) => [
    ...dwellLines(check),
    `Stay on: once it has settled, the device is flexed for ${check.holdMs / 1000} s.`,
  ],
  action(run, check, asked) {
    if (run.stage === 'touching') return holdStill(check);
    return run.stage === 'holding' ? `${asked} ${openingsText(run)}` : null;
  },
  step({ stage, kindProgress }) {
    if (stage !== 'holding' || kindProgress?.kind !== 'steady') return null;
    return `hold ${((kindProgress.hold?.heldUs ?? 0) / 1e6).toFixed(1)} s`;
  },
  recorded: (entry) => `${attempted(entry)}: ${whyText(entry.why)}${heldText(entry)}`,
};

/**
 * What a hold has seen so far: openings count for something at once, the rest is judged at its end.
 */
function openingsText({ kindProgress }: TaskRun): string {
  const hold = kindProgress?.kind === 'steady' ? kindProgress.hold : null;
  const { count, subReading } = hold === null ? { count: 0, subReading: 0 } : dropOutsOf(hold);
  return count + subReading === 0 ? 'No drop-out.' : `Drop-outs: ${count + subReading}.`;
}

function heldText({ hold, span }: StoredOf<'steady'>): string {
  if (hold === null) return '';
  const seconds = (hold.heldUs / 1e6).toFixed(1);
  if (span === null) return ` (held for ${seconds} s)`;
  const from = formatQuantity(span.minOhm, 'resistance');
  return ` (held for ${seconds} s, ${from} to ${formatQuantity(span.maxOhm, 'resistance')})`;
}
