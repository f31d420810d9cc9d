import { checkLedger, type LedgerFinding } from '../../ledger-store/check-ledger.ts';
import { type Context, printJson } from '../program/context.ts';
import { exitCodes } from '../program/exit-codes.ts';
import type { LedgerCheckOptions } from './ledger-check-command.ts';
import type { LedgerRebuildOptions } from './ledger-rebuild-command.ts';
import { tellEvery, withLedger } from './open-ledger.ts';

/** `ledger rebuild`: makes the database anew from the records in the ledger's folder. */
export async function ledgerRebuild(options: LedgerRebuildOptions, { terminal, signal }: Context): Promise<number> {
  await withLedger(options, terminal, (ledger) =>
    ledger.rebuild((done, of) => {
      signal.throwIfAborted();
      tellEvery(terminal, done, of);
    }),
  );
  return exitCodes.passed;
}

/** `ledger check`: holds the ledger against its own records; returns the exit code. */
export async function ledgerCheck(options: LedgerCheckOptions, { terminal, signal }: Context): Promise<number> {
  let records = 0;
  const found = await withLedger(options, terminal, (ledger) =>
    checkLedger(ledger, (done, of) => {
      signal.throwIfAborted();
      records = of;
      tellEvery(terminal, done, of);
    }),
  );
  if (options.json)
    printJson(
      terminal,
      found.map(({ code, of: subject }) => ({ code, subject })),
    );
  else {
    for (const { code, of } of found) terminal.out(`${of}: ${findingWords[code]}`);
    terminal.out(
      found.length === 0 ? `${records} records, and all of it holds.` : `${found.length} things do not hold.`,
    );
    if (found.length > 0) terminal.say('`ohmwright ledger rebuild` makes the database anew from the records.');
  }
  return found.length === 0 ? exitCodes.passed : exitCodes.record;
}

const findingWords: Record<LedgerFinding['code'], string> = {
  'ledger.record-gone': 'it was taken once, and its file is gone: take it again from its bench, or from a backup',
  'ledger.not-in-database': 'the database does not have it',
  'ledger.only-in-database': 'the database has it, and its file is gone',
  'ledger.head': 'the database has it otherwise',
  'ledger.verdict': 'it does not verify as the database says',
  'ledger.sums': 'its sums are not what the records come to',
};
