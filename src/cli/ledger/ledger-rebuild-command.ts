import { defineCommand } from '../program/define-command.ts';
import type { OptionsOf } from '../program/option-kinds.ts';
import { database, ledger } from './ledger-options.ts';

const options = { ledger, database };
export type LedgerRebuildOptions = OptionsOf<typeof options>;

export default defineCommand({
  example: 'ledger rebuild',
  options,
  load: async () => (await import('./ledger-upkeep.ts')).ledgerRebuild,
});
