import { calibrationRemark } from '../measure/reading/calibration-remark.ts';
import type { RecordLine } from '../record/chain/parse-record.ts';
import type { JobState } from '../record/state/job-state.ts';
import type { VerifyReport } from './verify-report.ts';

/**
 * Returns the numbers of the entries whose captures rest on a span of proofs of which one failed:
 * they are not to be relied on.
 */
export function unreliableEntries({ checks, spans }: Pick<JobState, 'checks' | 'spans'>): Set<number> {
  const numbers = new Set<number>();
  for (const { attempts } of Object.values(checks)) {
    for (const { n, span } of attempts) if (span !== null && spans[span]?.standing === 'failed') numbers.add(n);
  }
  return numbers;
}

/**
 * Adds notes on what the evidence rests on: captures between proofs of which one failed,
 * calibrations that were missing or past their date.
 */
export function noteUnreliable(lines: readonly RecordLine[], state: JobState, report: VerifyReport): void {
  const unreliable = unreliableEntries(state);
  const failed = new Set(state.failedProofs);
  for (const { line, entry } of lines) {
    if (entry.kind === 'proof' && failed.has(entry.n)) {
      const what = `${entry.when} proof ${entry.what}: this try failed, whatever later ones came to`;
      report.notes.push({ n: entry.n, line, code: 'proof.tried', what });
    }
    if (unreliable.has(entry.n) && 'check' in entry) {
      const what = `${entry.check}: not to be relied on, a proof of the probe around it failed`;
      report.notes.push({ n: entry.n, line, code: 'proof.failed', what });
    }
    if (entry.kind !== 'probe') continue;
    const remark = calibrationRemark(entry.calibration, null);
    if (remark !== null) report.notes.push({ n: entry.n, line, code: 'calibration.doubt', what: remark });
  }
}
