import type { JobState } from '../../record/state/job-state.ts';
import { listedLines } from '../text/list.ts';
import { answerLines } from './conclusion.ts';
import { abandonedAddendum, addendumWords, isAddendumAbandoned } from './entry.ts';
import { outcomeWord, whyText } from './outcome.ts';
import { resultWords } from './result.ts';

/**
 * Returns what a job comes to, as plain lines: the result, the checks that failed, what was not
 * settled, the proofs.
 */
export function summaryLines(state: JobState): string[] {
  const checks = Object.values(state.checks);
  const { word, sentence } = resultWords[state.result];
  const lines = [`result: ${word}. ${sentence}`, ...answerLines(state).map((line) => `  ${line}`)];
  for (const check of checks) {
    if (check.outcome !== 'fail') continue;
    const last = check.attempts.at(-1);
    lines.push(
      `  failed: ${check.title}${last === undefined ? '' : ` - ${whyText(last.why)}`}${check.doubtful ? ' (not to be relied on)' : ''}`,
    );
  }
  const open = checks.filter((c) => c.inGuide && c.outcome !== 'pass' && c.outcome !== 'fail');
  const notDone = open.filter(({ skipped, outcome }) => skipped === null && outcome === null);
  for (const check of open) {
    if (notDone.includes(check)) continue;
    lines.push(
      `  not settled: ${check.title} (${check.skipped === null ? outcomeWord(check.outcome) : `skipped: ${check.skipped.reason}`})`,
    );
  }
  const titles = notDone.map(({ title }) => title);
  if (titles.length > 0) lines.push(...listedLines('  not done', titles));
  lines.push(...repairLines(state).map((line) => `  ${line}`));
  for (const { what, why } of state.addenda) lines.push(`  added to, ${addendumWords[what]}: ${why}`);
  if (isAddendumAbandoned(state)) lines.push(`  ${abandonedAddendum}`);
  for (const check of checks) {
    if (check.redo) {
      lines.push(`  before ${outcomeWord(check.before)}, after ${outcomeWord(check.after)}: ${check.title}`);
    }
  }
  lines.push(
    `  proofs: ${state.proofs.standing}${triedBefore(state)}; ${state.counts.passed} passed, ${state.counts.failed} failed of ${state.counts.checks} checks`,
  );
  if (state.gaps.length > 0) lines.push(`  gaps in the readings: ${state.gaps.length}`);
  if (state.doubtful) lines.push('  Captures that rest on a failed or missing closing proof are not to be relied on.');
  return lines;
}

/** What was done to the device, in order; the same thing done again and again in one line. */
export function repairLines({ repairs }: Pick<JobState, 'repairs'>): string[] {
  const done = repairs.map(({ what, text }) => (what === 'swap' ? `swapped: ${text}` : `done: ${text}`));
  return [...new Set(done)].map((line) => {
    const times = done.filter((one) => one === line).length;
    return `${line}${times > 1 ? ` (${times} times)` : ''}`;
  });
}

/** Tries of a proof that failed are told beside proofs that held in the end. */
function triedBefore({ proofs, failedProofs }: Pick<JobState, 'proofs' | 'failedProofs'>): string {
  if (proofs.standing !== 'held' || failedProofs.length === 0) return '';
  return `, after ${failedProofs.length} ${failedProofs.length === 1 ? 'try' : 'tries'} that failed`;
}
