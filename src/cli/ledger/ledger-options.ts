import { flag, setBy, text } from '../program/option-kinds.ts';

// Options that the commands of the ledger share.

export const ledger = setBy('ledger', text('<folder>', 'folder of the ledger (default: ./ohmwright-ledger)'));
export const database = text(
  '<addresses>',
  "a PostgreSQL server's address in place of the database in the folder; several with commas: the one that takes writes",
);
export const withEmulated = flag('count jobs on the emulated probe too');
