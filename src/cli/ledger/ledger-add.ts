import { OhmwrightError } from '../../errors/ohmwright-error.ts';
import type { Ledger, TakenRecord } from '../../ledger-store/ledger.ts';
import { readRecord } from '../../record/store/read-record.ts';
import { jobsFolderOf } from '../places/locations.ts';
import { namedJobs } from '../places/named-jobs.ts';
import { type Context, printJson } from '../program/context.ts';
import { exitCodes, worstExit } from '../program/exit-codes.ts';
import type { LedgerAddOptions } from './ledger-add-command.ts';
import { tellEvery, withLedger } from './open-ledger.ts';

/** One record that was to be taken. */
interface Added extends TakenRecord {
  path: string;
}

/** `ledger add`: takes records into the ledger; returns the exit code. */
export async function ledgerAdd(
  named: string[],
  options: LedgerAddOptions,
  { terminal, signal }: Context,
): Promise<number> {
  const { paths } = await namedJobs(named, jobsFolderOf(options.jobs, terminal), terminal);
  const added = await withLedger(options, terminal, async (ledger) => {
    const all: Added[] = [];
    for (const path of paths) {
      signal.throwIfAborted();
      all.push(await addOne(ledger, path));
      tellEvery(terminal, all.length, paths.length);
    }
    return all;
  });
  const count = (put: TakenRecord['put']): number => added.filter((one) => one.put === put).length;
  const counts = {
    new: count('new'),
    grown: count('grown'),
    known: count('known'),
  };
  const trouble = added.filter(({ counted }) => !counted);
  if (options.json) {
    const told = added.map(({ path: record, put, entries: entryCount, counted: verified, code }) => {
      return { record, put, entryCount, verified, code };
    });
    printJson(terminal, told);
  } else {
    for (const { path, put, code } of trouble)
      terminal.out(`${path}: ${troubleWords[put]} (${code ?? 'not verified'})`);
    terminal.out(`${counts.new} new, ${counts.grown} grown, ${counts.known} known, ${trouble.length} not counted.`);
  }
  return worstExit(trouble.map(() => exitCodes.record));
}

const troubleWords: Record<TakenRecord['put'], string> = {
  new: 'taken, and not counted',
  grown: 'taken, and not counted',
  known: 'known, and not counted',
  aside: 'put aside',
  none: 'no record',
};

/** A record that can't be read keeps no other from being taken. */
async function addOne(ledger: Ledger, path: string): Promise<Added> {
  try {
    return { path, ...(await ledger.take((await readRecord(path)).bytes)) };
  } catch (error) {
    if (!(error instanceof OhmwrightError) || !error.code.startsWith('record.')) throw error;
    return { path, put: 'none', record: null, entries: 0, counted: false, code: error.code };
  }
}
