import { defineCommand } from '../program/define-command.ts';
import type { OptionsOf } from '../program/option-kinds.ts';
import { jobs, jobsOrAllArgument, json } from '../program/program-options.ts';
import { database, ledger } from './ledger-options.ts';

const options = { ledger, database, json, jobs };
export type LedgerAddOptions = OptionsOf<typeof options>;

export default defineCommand({
  example: 'ledger add bench-1/ohmwright-jobs bench-2/ohmwright-jobs',
  takes: [jobsOrAllArgument],
  options,
  prints: async () => (await import('../outputs/ledger-outputs.ts')).ledgerAddForm,
  load: async () => (await import('./ledger-add.ts')).ledgerAdd,
});
