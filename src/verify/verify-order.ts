import { canonicalJson } from '../record/chain/canonical.ts';
import type { RecordLine } from '../record/chain/parse-record.ts';
import type { Entry, EntryOf } from '../record/entries/entries.ts';
import { isAttempt } from '../record/kinds/stored-kinds.ts';
import type { JobState } from '../record/state/job-state.ts';
import type { Say } from './finding.ts';
import type { Departure, VerifyReport } from './verify-report.ts';

/**
 * Adds what the order of entries shows: one opening at the start, nothing after the closing,
 * attempts counted without a hole.
 */
export function verifyOrder(lines: RecordLine[], report: VerifyReport): void {
  const attempts = new Map<string, number>();
  let closed = false;
  let lastAt = '';
  let previous: Entry | null = null;
  let previousLine = 0;
  for (const { line, entry } of lines) {
    const depart = sayTo(report.departures, line, entry);
    if ((entry.kind === 'opened') !== (line === 1)) {
      depart('order.opened', line === 1 ? 'the first entry does not open a job' : 'a job is opened a second time');
    }
    // what a line that is missing between them was, nobody knows: it is a departure of its own
    const signsClosing = entry.kind === 'signed' && (previous?.kind === 'closed' || previousLine !== line - 1);
    if (entry.kind === 'signed' && !signsClosing)
      depart('order.signed', 'a signature that does not follow the closing');
    else if (entry.kind === 'addendum') {
      if (!closed) depart('order.addendum', 'an addendum to a job that was not closed');
    } else if (closed && !signsClosing) depart('order.closed', 'an entry after the job was closed');
    if (entry.kind === 'closed') closed = true;
    if (entry.kind === 'addendum') closed = false;
    previous = entry;
    previousLine = line;
    verifyAttempt(attempts, entry, depart);
    const note = sayTo(report.notes, line, entry);
    if (entry.at < lastAt) note('clock.back', `the host's clock was set back: ${entry.at} after ${lastAt}`);
    if (entry.at > lastAt) lastAt = entry.at;
    noteWorthKnowing(entry, note);
  }
  const last = lines.at(-1);
  if (last !== undefined && !closed) sayTo(report.notes, last.line, last.entry)('job.open', 'the job is not closed');
}

/**
 * Adds where a closing entry claims something else than the entries before it bear out. `before`: what
 * these come to, by the number of the closing entry.
 */
export function verifyClosings(lines: RecordLine[], before: ReadonlyMap<number, JobState>, report: VerifyReport): void {
  for (const { line, entry } of lines) {
    const state = before.get(entry.n);
    if (entry.kind === 'closed' && state !== undefined)
      verifyClosing(entry, state, sayTo(report.departures, line, entry));
  }
}

function verifyClosing(entry: EntryOf<'closed'>, state: JobState, say: Say): void {
  if (entry.result !== 'abandoned' && entry.result !== state.result) {
    say('closed.result', `the entries bear out ${state.result}, the closing says ${entry.result}`, {
      stands: entry.result,
      due: state.result,
    });
  }
  if (entry.proofs !== state.proofs.standing) {
    say('closed.proofs', `the proofs of the probe are ${state.proofs.standing}, the closing says ${entry.proofs}`, {
      stands: entry.proofs,
      due: state.proofs.standing,
    });
  }
  if (canonicalJson(entry.counts) !== canonicalJson(state.counts)) {
    say('closed.counts', 'the counts in the closing are not those of the entries before it', {
      stands: entry.counts,
      due: state.counts,
    });
  }
}

function verifyAttempt(attempts: Map<string, number>, entry: Entry, say: Say): void {
  if (!isAttempt(entry)) return;
  const due = (attempts.get(entry.check) ?? 0) + 1;
  if (entry.attempt !== due) {
    say('order.attempt', `attempt ${entry.attempt} at ${entry.check} stands where attempt ${due} is due`, {
      stands: entry.attempt,
      due,
    });
  }
  attempts.set(entry.check, entry.attempt);
}

function noteWorthKnowing(entry: Entry, note: Say): void {
  switch (entry.kind) {
    case 'opened':
      if (entry.emulated === true)
        note('job.emulated', 'the probe is an emulated one: this says nothing of a real device');
      if (!entry.revision.holds) {
        const { reason = 'no reason given', override = 'no reason given' } = entry.revision;
        note(
          'revision.override',
          `the guide does not hold for this revision (${reason}); used all the same: ${override}`,
        );
      }
      return;
    case 'addendum':
      note(
        'job.addendum',
        `${entry.what === 'returned' ? 'the device came back' : 'the job was added to'}: ${entry.why}`,
      );
      return;
    case 'gap':
      note('link.gap', `readings are missing: ${entry.text}`);
      return;
    case 'recovered':
      note(
        'record.recovered',
        entry.file === null ? entry.why : `${entry.bytes} bytes are in ${entry.file}: ${entry.why}`,
      );
      return;
    default:
  }
}

function sayTo(findings: Departure[], line: number, entry: Entry): Say {
  return (code, what, compared) => {
    findings.push({ n: entry.n, line, code, what, ...compared });
  };
}
