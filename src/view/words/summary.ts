import type { JobState } from '../../record/state/job-state.ts';
import { listedLines } from './list.ts';

const words: Record<string, string> = {
  passed: 'passed: every check of the guide passed, and the probe proved itself before and after',
  failed: 'failed: a fault was found, and the probe proved itself before and after',
  repaired:
    'repaired: a fault was found, a repair was done, what was checked before passes now, and the probe proved itself before and after',
  'no-fault-found': 'no fault found: what was checked passed, not everything was checked; this is no pass',
  inconclusive: 'inconclusive: something stayed unknown, or the probe did not prove itself',
  abandoned: 'abandoned',
};

/** Returns what a job comes to, as plain lines: the result, the checks that failed, what was not settled, the proofs. */
export function summaryLines(state: JobState): string[] {
  const checks = Object.values(state.checks);
  const lines = [`result: ${words[state.result] ?? state.result}`];
  for (const check of checks) {
    if (check.outcome !== 'fail') continue;
    const last = check.attempts[check.attempts.length - 1];
    lines.push(
      `  failed: ${check.title}${last === undefined ? '' : ` - ${last.why}`}${check.doubtful ? ' (not to be relied on)' : ''}`,
    );
  }
  const open = checks.filter((c) => c.inGuide && c.outcome !== 'pass' && c.outcome !== 'fail');
  const notDone = open.filter(({ skipped, outcome }) => skipped === null && outcome === null);
  for (const check of open) {
    if (notDone.includes(check)) continue;
    lines.push(
      `  not settled: ${check.title} (${check.skipped === null ? (check.outcome ?? 'not done') : `skipped: ${check.skipped.reason}`})`,
    );
  }
  const titles = notDone.map(({ title }) => title);
  if (titles.length > 0) lines.push(...listedLines('  not done', titles));
  lines.push(...repairLines(state));
  for (const check of checks) {
    if (check.redo) {
      lines.push(`  before ${check.before ?? 'nothing'}, after ${check.after ?? 'not done'}: ${check.title}`);
    }
  }
  lines.push(
    `  proofs: ${state.proofs.standing}; ${state.counts.passed} passed, ${state.counts.failed} failed of ${state.counts.checks} checks`,
  );
  if (state.gaps.length > 0) lines.push(`  gaps in the readings: ${state.gaps.length}`);
  if (state.doubtful) lines.push('  Captures that rest on a failed or missing closing proof are not to be relied on.');
  return lines;
}

/** What was done to the device, in order; the same thing done again and again in one line. */
function repairLines({ repairs }: JobState): string[] {
  const done = repairs.map(({ what, text }) => (what === 'swap' ? `swapped: ${text}` : `done: ${text}`));
  return [...new Set(done)].map((line) => {
    const times = done.filter((one) => one === line).length;
    return `  ${line}${times > 1 ? ` (${times} times)` : ''}`;
  });
}
