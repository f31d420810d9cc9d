import { keysOfBenches } from './keys-of-benches.ts';
import { keysOfGuides } from './keys-of-guides.ts';
import { keysOfJobs } from './keys-of-jobs.ts';
import { keysOfLedger } from './keys-of-ledger.ts';
import { keysOfProbes } from './keys-of-probes.ts';

/** The tables of what keys of `--json` mean. A key stands in one of them. */
export const keyTables: readonly Readonly<Record<string, string>>[] = [
  keysOfJobs,
  keysOfGuides,
  keysOfProbes,
  keysOfBenches,
  keysOfLedger,
];

/** What each key of `--json` means, whatever command prints it. */
export const keyMeanings: Readonly<Record<string, string>> = Object.assign({}, ...keyTables);
