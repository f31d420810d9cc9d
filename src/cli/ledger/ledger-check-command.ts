import { defineCommand } from '../program/define-command.ts';
import type { OptionsOf } from '../program/option-kinds.ts';
import { json } from '../program/program-options.ts';
import { database, ledger } from './ledger-options.ts';

const options = { ledger, database, json };
export type LedgerCheckOptions = OptionsOf<typeof options>;

export default defineCommand({
  example: 'ledger check',
  options,
  prints: async () => (await import('../outputs/ledger-outputs.ts')).ledgerCheckForm,
  load: async () => (await import('./ledger-upkeep.ts')).ledgerCheck,
});
