import { defineCommand } from '../program/define-command.ts';
import type { OptionsOf } from '../program/option-kinds.ts';
import { json } from '../program/program-options.ts';
import { database, ledger, withEmulated } from './ledger-options.ts';

const options = { ledger, database, withEmulated, json };
export type LedgerHistoryOptions = OptionsOf<typeof options>;

export default defineCommand({
  example: 'ledger history 4031-77',
  takes: [['<serial>', 'serial number of the device']],
  options,
  prints: async () => (await import('../outputs/ledger-outputs.ts')).ledgerHistoryForm,
  load: async () => (await import('./ledger-history.ts')).ledgerHistory,
});
