import { join } from 'node:path';
import { Ledger } from '../../ledger-store/ledger.ts';
import type { Printer } from '../program/printer.ts';

/** What says which ledger is meant. */
export interface LedgerChoice {
  ledger: string | undefined;
  database: string | undefined;
}

const whyAnew = {
  first: 'The ledger is made: this takes a moment.',
  unclean: 'The database of the ledger was not closed well before the computer was: it is made anew from the records.',
  unreadable: 'The database of the ledger can not be read: it is set aside and made anew from the records.',
  asked: 'The database of the ledger is made anew from the records.',
} as const;

/** Returns the ledger's folder: the one that option or settings name, else `ohmwright-ledger` here. */
function ledgerFolderOf({ ledger }: Pick<LedgerChoice, 'ledger'>, { cwd }: Pick<Printer, 'cwd'>): string {
  return ledger ?? join(cwd, 'ohmwright-ledger');
}

/**
 * Opens the ledger for some work, and closes it again whatever comes of that.
 *
 * @throws OhmwrightError as {@link Ledger.open}
 */
export async function withLedger<T>(
  choice: LedgerChoice,
  terminal: Printer,
  work: (ledger: Ledger) => Promise<T>,
): Promise<T> {
  const { database } = choice;
  const ledger = await Ledger.open(ledgerFolderOf(choice, terminal), {
    ...(database === undefined ? {} : { database }),
    clock: () => terminal.now().getTime(),
    onRebuild: (why) => terminal.say(whyAnew[why]),
  });
  try {
    return await work(ledger);
  } finally {
    await ledger.close();
  }
}

/** Says how far a work over many records has come, after each hundred. */
export function tellEvery(terminal: Printer, done: number, of: number): void {
  if (done % 100 === 0) terminal.say(`${done} of ${of} records`);
}
