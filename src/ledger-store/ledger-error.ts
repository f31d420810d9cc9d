import { OhmwrightError } from '../errors/ohmwright-error.ts';

/** Stable codes of errors about a ledger. */
export type LedgerErrorCode = 'ledger.locked' | 'ledger.database' | 'ledger.disk' | 'ledger.newer';

/** Returns an error about a ledger: what and where in `message`, what to do in `help`. */
export function ledgerError(code: LedgerErrorCode, message: string, help: string, cause?: unknown): OhmwrightError {
  return new OhmwrightError(code, message, { help, cause });
}
