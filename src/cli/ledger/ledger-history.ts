import { type PastJob, unitHistory } from '../../ledger-store/unit-history.ts';
import type { LocalClock } from '../../ports/local-clock.ts';
import { localClock } from '../places/local-time.ts';
import { type Context, printJson } from '../program/context.ts';
import { exitCodes } from '../program/exit-codes.ts';
import type { LedgerHistoryOptions } from './ledger-history-command.ts';
import { withLedger } from './open-ledger.ts';

/** `ledger history`: what the ledger knows of a unit, latest job first. */
export async function ledgerHistory(
  serial: string,
  options: LedgerHistoryOptions,
  { terminal }: Context,
): Promise<number> {
  const jobs = await withLedger(options, terminal, (ledger) => unitHistory(ledger, serial, options.withEmulated));
  if (options.json) printJson(terminal, jobs.map(asData));
  else {
    for (const line of historyLines(jobs, localClock(terminal))) terminal.out(line);
    if (jobs.length === 0) terminal.say(`The ledger knows no job of a unit ${serial}.`);
  }
  return exitCodes.passed;
}

function asData({ job, opened_at, last_at, closed, result, counted, emulated, ticket, events }: PastJob) {
  return {
    job,
    openedAt: opened_at,
    lastAt: last_at,
    open: !closed,
    result,
    verified: counted,
    emulated,
    ticket,
    events,
  };
}

/** Returns a line for each past job: when, what it came to, what was done, where. */
function historyLines(jobs: readonly PastJob[], clock: LocalClock): string[] {
  return jobs.map((job) => {
    const result = job.counted ? (job.closed ? job.result : 'open') : 'NOT verified';
    const done = job.events.filter(({ act }) => act === 'repaired');
    const units = done.map(({ unit, helped }) => `${unit}${helped ? '' : ' (in vain)'}`);
    const found = job.events.filter(({ act }) => act === 'found').map(({ unit }) => unit);
    const told = [
      ...(found.length === 0 ? [] : [`found: ${found.join(', ')}`]),
      ...(units.length === 0 ? [] : [`done to: ${units.join(', ')}`]),
      ...(job.symptom === '' ? [] : [`said: ${job.symptom}`]),
    ];
    return `${clock.day(job.opened_at)}  ${result.padEnd(14)}  ${job.job}${told.length === 0 ? '' : `; ${told.join('; ')}`}`;
  });
}
