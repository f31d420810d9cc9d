import type { Context } from '../program/context.ts';
import { exitCodes } from '../program/exit-codes.ts';
import { inventShop } from './invented-shop.ts';
import type { LedgerExampleOptions } from './ledger-example-command.ts';

/** `ledger example`: makes the records of a shop that nobody has, to try the ledger with. */
export async function ledgerExample(
  folder: string,
  { make, benches, days, seed }: LedgerExampleOptions,
  { terminal, signal }: Context,
): Promise<number> {
  const shop = { jobs: make, benches, days, seed, endMs: terminal.now().getTime() };
  const folders = await inventShop(folder, shop, signal, (done) => {
    if (done % 5 === 0) terminal.say(`${done} of ${make} jobs`);
  });
  terminal.say(
    `Invented jobs on the emulated probe, by benches that nobody has. Take them into a ledger of their own:`,
  );
  terminal.say(`  ohmwright ledger add ${folders.join(' ')} --ledger ${folder}/ledger`);
  return exitCodes.passed;
}
