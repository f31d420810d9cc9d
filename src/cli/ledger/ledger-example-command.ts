import { defineCommand } from '../program/define-command.ts';
import { numberOr, type OptionsOf, wholeNumberIn } from '../program/option-kinds.ts';

const options = {
  make: numberOr(20, '<n>', 'jobs in all; each takes some seconds', wholeNumberIn(1, 100_000, 'jobs')),
  benches: numberOr(5, '<n>', 'benches that they are spread over', wholeNumberIn(1, 50, 'benches')),
  days: numberOr(180, '<n>', 'days that they are spread over, up to today', wholeNumberIn(1, 10_000, 'days')),
  seed: numberOr(
    1,
    '<n>',
    'seed of the emulated probe and of all at its tips: devices, faults, hands',
    wholeNumberIn(0, 20_000),
  ),
};
export type LedgerExampleOptions = OptionsOf<typeof options>;

export default defineCommand({
  example: 'ledger example invented-shop --make 30',
  takes: [['<folder>', 'where it goes: a folder for each bench, with its key']],
  options,
  load: async () => (await import('./ledger-example.ts')).ledgerExample,
});
